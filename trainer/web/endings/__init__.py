"""Records that end soon: what to do, refresh sets, calendars."""
