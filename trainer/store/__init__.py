"""Tables and their queries, one noun a file. Nothing else knows SQL."""
