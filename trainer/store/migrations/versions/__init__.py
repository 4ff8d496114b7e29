"""One change a file, in order."""
