"""Monday's week check: bookings in, who may not do what they are booked for, who could instead."""
