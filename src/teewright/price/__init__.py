"""Quantities, rates and the quotation."""
