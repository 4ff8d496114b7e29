"""What goes out of the house and comes in, in other people's formats: one outside format a file."""
