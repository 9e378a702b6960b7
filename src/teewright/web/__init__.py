"""The web face: pages, HTTP API and the clock at the manhole, served from the package alone."""
