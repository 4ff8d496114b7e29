"""What has changed in the facts, whom it concerns, and the top-ups on it."""
