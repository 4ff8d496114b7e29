"""Drawings, measured as drawn."""
