"""The one way out of the house, for the screens that fetch something when a button is pressed."""

from flask import current_app

from trainer.use_cases.fetch_outside import Door


def door() -> Door:
    """How this app reaches the outside."""
    found: Door = current_app.extensions.setdefault("door", Door())
    return found
