"""How hard the questions proved to be."""
