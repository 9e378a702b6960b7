"""Leak tests and the hand-over state of a connection."""
