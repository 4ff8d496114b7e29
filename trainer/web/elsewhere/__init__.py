"""Records from elsewhere: looked at, kept, their status checked; and whose records count here."""
