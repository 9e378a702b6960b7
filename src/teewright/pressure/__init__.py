"""The window of inflation pressure."""
