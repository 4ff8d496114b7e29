"""Sets of questions given out as files."""
