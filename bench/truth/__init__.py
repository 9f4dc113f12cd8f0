"""True pits and harnesses, drawn at random; imports nothing that is judged."""
