"""What pipe is this? Readings and clues in, every pipe it can be out, and what to ask next."""
