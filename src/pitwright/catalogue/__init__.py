"""The shelf: pipes, fittings and threads, with the source and the scatter of every dimension."""
