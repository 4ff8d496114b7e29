"""British or American spelling of the screens."""
