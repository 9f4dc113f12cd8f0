"""Every sentence a person reads: one module per kind of result."""
