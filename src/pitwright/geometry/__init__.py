"""Shape: vectors, poses, ports, and what stands in whose way."""
