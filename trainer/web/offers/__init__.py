"""Places that a house offers somebody: yes or no."""
