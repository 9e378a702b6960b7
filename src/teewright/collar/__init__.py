"""Collars: flat panels, their areas, seams and stretch."""
