"""People in and out by files of other programs."""
