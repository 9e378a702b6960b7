"""Numerical helpers that every room may use."""
