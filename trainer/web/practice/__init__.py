"""Practise: what to do now, a scenario, its answer with the reason."""
