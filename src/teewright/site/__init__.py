"""One installation as a chain of events; deadlines and states as pure functions of them."""
