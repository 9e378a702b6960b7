"""Who may ask, from where, how much at once: everything that stands before a page."""
