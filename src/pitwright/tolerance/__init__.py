"""Will it close: how the errors of readings and cuts add up at the closing joint."""
