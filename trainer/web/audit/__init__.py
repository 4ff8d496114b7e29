"""How the questions are checked: the last audit, and the guidelines it keeps."""
