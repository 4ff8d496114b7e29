"""Assessments: offered, sat, decided, reviewed."""
