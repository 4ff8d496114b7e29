"""Taking somebody out of the site: their own wish, and what an administrator makes of it."""
