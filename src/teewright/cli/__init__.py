"""The command line: parse, call job, print, exit code."""
