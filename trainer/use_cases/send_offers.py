"""The letter that tells somebody that a house asks them to belong to it."""

import smtplib
from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import datetime
from email.message import EmailMessage
from threading import Thread

from trainer.store import people
from trainer.store.unit import Unit
from trainer.use_cases.send_mail import Letters, new_letter, send

JOIN = "/join"
"""Where a link leads, before its token."""


def send_offers(unit: Unit, letters: Letters, tokens: Mapping[str, str], until: datetime) -> Thread:
    """One letter to each address that the viewer's house asks; the same whoever has it.

    It is done behind the answer. Who wants to know waits for the thread.
    """
    place = people.organisation(unit, unit.viewer.organisation_id).name
    written = [_letter(letters, place, *one, until) for one in tokens.items()]
    sending = Thread(target=_send_each, args=(letters.smtp_url, written))
    sending.start()
    return sending


def _letter(letters: Letters, place: str, email: str, token: str, until: datetime) -> EmailMessage:
    message = new_letter(letters.sender, email, f"{place} asks you to join")
    message.set_content(
        f"{place} asks whether you want to belong to it.\n\n"
        f"Say yes or no by {until:%A} {until.day} {until:%B}:\n"
        f"{letters.site}{JOIN}/{token}\n\n"
        "Until you say yes, nobody there sees anything about you.\n"
        "If you do nothing, nothing changes.\n"
    )
    return message


def _send_each(smtp_url: str, written: Sequence[EmailMessage]) -> None:
    """An address that fails does not hold up the others."""
    for message in written:
        with suppress(OSError, smtplib.SMTPException):
            send(smtp_url, [message])
