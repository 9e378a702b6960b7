"""Flat pieces from a surface: with the least spread of stretch, or the least energy."""
