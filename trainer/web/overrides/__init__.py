"""Other evidence in place of a sheet of our own: one asks, another decides."""
