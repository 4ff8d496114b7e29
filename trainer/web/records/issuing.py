"""What issuing needs, from the app's settings and its address."""

from trainer.use_cases.certify import Issuing
from trainer.web.house import house, own_address


def issuing() -> Issuing:
    """Keys, address and terms. Without a set address, the one people reach us by is used."""
    settings = house().settings
    return Issuing(
        settings.keys,
        own_address(),
        settings.valid_months_bonded,
        settings.valid_months_loose,
    )
