"""Migrations of the project file, run by `teewright.store.migrate`."""
