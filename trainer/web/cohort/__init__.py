"""The instructor's first page, and one apprentice's page."""
