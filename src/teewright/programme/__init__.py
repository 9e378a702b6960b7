"""Shifts for crews and packers: optimised, then checked apart."""
