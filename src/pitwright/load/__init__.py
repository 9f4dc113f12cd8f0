"""What to load: one list of parts, spares, consumables and tools, less what is on the truck."""
