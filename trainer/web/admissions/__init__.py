"""Letting people sit: who waits, who they are, what is made easier."""
