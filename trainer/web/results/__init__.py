"""Results given out as a file."""
