"""What each connection needs, with its reasons, and how much water it lets in."""
