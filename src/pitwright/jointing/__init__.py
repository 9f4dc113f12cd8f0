"""Joining: working, hold, set and cure times of cement, thread make-up, joints without cure."""
