"""How whoever was asked to join comes to know: by letter, else by a link that is handed over."""

from collections.abc import Mapping
from datetime import timedelta

from trainer import clock
from trainer.use_cases.send_offers import send_offers
from trainer.web.house import house, reading, whole_address


def hand_over(tokens: Mapping[str, str], lasts: timedelta) -> Mapping[str, str]:
    """Address -> link to hand over; '' where the site sends letters, which then go.

    A letter alone leaves it to its reader who opens the link. Of whether anybody has an account
    with the address, neither way says anything.
    """
    settings = house().settings
    if not settings.sends_letters:
        return {one: whole_address("offers.by_link", token=tokens[one]) for one in tokens}
    with reading() as unit:
        send_offers(unit, settings.letters, tokens, clock.now() + lasts)
    return dict.fromkeys(tokens, "")
