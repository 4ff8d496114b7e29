"""What needs the visitor, and the letter that says so."""
