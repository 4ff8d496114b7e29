"""A salon's bookings: what one says of time, staff and work, and whose work it is."""
