"""Trains: sequences of parts mated port to port between two stubs, and how long each piece is."""
