"""Which wire, which splice: fault finding in buried 24 V valve wiring."""
