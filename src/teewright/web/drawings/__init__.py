"""Drawings made for a page: SVG in pixels, dressed by the classes of the tokens."""
