"""The adviser: a client on paper, a verdict per method; nothing is kept."""
