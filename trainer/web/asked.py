"""How whoever was asked to join comes to know: by letter, else by a link that is handed over."""

from collections.abc import Mapping, Sequence
from datetime import timedelta

from flask import render_template

from trainer import clock
from trainer.use_cases.offer_membership import ToTell
from trainer.use_cases.send_offers import send_offers
from trainer.web.house import house, viewer, whole_address


def hand_over(tokens: Mapping[str, str], lasts: timedelta) -> Mapping[str, str]:
    """Address -> link to hand over; '' where the site sends letters, which then go.

    A letter alone leaves it to its reader who opens the link. Of whether anybody has an account
    with the address, neither way says anything.
    """
    settings = house().settings
    if not settings.sends_letters:
        return {one: whole_address("offers.by_link", token=tokens[one]) for one in tokens}
    now = clock.now()
    send_offers(house().work, viewer(), settings.letters, tokens, now + lasts, now)
    return dict.fromkeys(tokens, "")


def all_asked(asked: Sequence[ToTell], lasts: timedelta) -> str:
    """The page that says who was asked just now, with the links to hand over, once."""
    links = hand_over({one.email: one.token for one in asked}, lasts)
    mail = house().settings.sends_letters
    return render_template(
        "people/all_asked.html", asked=asked, links=links, lasts=lasts, mail=mail
    )
