"""What issuing needs, from the app's settings and its address."""

from flask import request

from trainer.use_cases.certify import Issuing
from trainer.web.house import house


def issuing() -> Issuing:
    """Keys, address and terms. Without a set address, the one people reach us by is used."""
    settings = house().settings
    return Issuing(
        settings.keys,
        (settings.base_url or request.url_root).rstrip("/"),
        settings.valid_months_bonded,
        settings.valid_months_loose,
    )
