"""Ways to renew a zone: one module a way, each answers with options or with why not."""
