"""The team: who can do what, what ends when, what nobody can do."""
