"""Resin: how much, and until when."""
