"""Consultations: the room, the decision, the words, and what was hidden."""
