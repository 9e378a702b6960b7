"""The junction of a branch with a main, as a shape."""
