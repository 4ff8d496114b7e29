"""House rules: what the salon asks beyond a record."""
