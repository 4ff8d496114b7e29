"""A holder shares a record: links, each with what it shows."""
