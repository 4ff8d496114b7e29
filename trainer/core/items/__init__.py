"""The shared words of questions, and one file an item type."""
