"""Sign in and out, passwords, the choice of organisation."""
