"""An invented client with hidden facts: who, what is found, what follows, what is said."""
