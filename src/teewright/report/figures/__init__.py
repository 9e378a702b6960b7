"""Figures of the pack: pure functions of values that give SVG, shared by paper and screen."""
