"""How I stand against the standard."""
