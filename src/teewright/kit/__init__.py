"""What the contractor owns, buys and has decided."""
