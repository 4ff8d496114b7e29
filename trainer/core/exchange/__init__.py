"""One outside format a file: bytes in, values out, and back."""
