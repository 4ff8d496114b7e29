"""Learning events for other programs: as a file, and sent to a store that the academy names."""
