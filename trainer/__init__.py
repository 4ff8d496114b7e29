"""Training and certification of hair-extension stylists."""
