"""Readers and writers: bytes to values with findings, and back."""
