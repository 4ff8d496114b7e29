"""Before an assessment: the agreement, asking to sit, a question to try."""
