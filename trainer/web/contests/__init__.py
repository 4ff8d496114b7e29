"""Questions that learners contest, and what instructors answer."""
