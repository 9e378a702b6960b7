"""Nodes, runs, inspections, observations and connections, and the reconciling of surveys."""
