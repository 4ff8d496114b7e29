"""Completion records: one's own, the public check, what an academy has issued."""
