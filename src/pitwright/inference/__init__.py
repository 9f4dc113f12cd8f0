"""Choosing the next test: bits of information about the place, per minute of work."""
