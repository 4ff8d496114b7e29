"""Drawings for questions, from parameters: one drawing a module, millimetres in, SVG out."""
