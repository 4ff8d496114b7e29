"""Sign-off at the chair: choose, watch, sign."""
