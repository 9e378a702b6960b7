"""Sheets of the pack: pure functions from a job to the data that a template sets."""
