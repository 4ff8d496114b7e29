"""Responses to results: feedback on one item, and what a whole sitting comes to."""
