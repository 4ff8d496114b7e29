"""How often a form decides rightly, and how often two forms would decide alike."""
