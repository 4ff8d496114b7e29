"""The method book: what is known, and from where."""
