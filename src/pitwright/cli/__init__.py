"""The terminal door: one module a command."""
