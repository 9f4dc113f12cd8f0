"""Readings of one opened valve box in, a proven plan out, and a memory of what lies buried."""

__version__ = "0.1.0"
