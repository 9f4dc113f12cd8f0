"""The units of the trade: read as people write them, kept in SI, printed as a tape shows them."""
