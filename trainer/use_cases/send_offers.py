"""The letter that tells somebody that a house asks them to belong to it."""

import smtplib
from collections.abc import Mapping
from datetime import datetime
from email.message import EmailMessage
from threading import Thread

from trainer.store import offers, people
from trainer.store.unit import Viewer
from trainer.use_cases.one_use_links import hashed
from trainer.use_cases.send_mail import Letters, new_letter, send
from trainer.use_cases.work import Work

JOIN = "/join"
"""Where a link leads, before its token."""


def send_offers(
    work: Work,
    viewer: Viewer,
    letters: Letters,
    tokens: Mapping[str, str],
    until: datetime,
    now: datetime,
) -> Thread:
    """One letter to each address that the viewer's house asks; the same whoever has it.

    It is done behind the answer; which letters did not go stands with their offers then. Who wants
    to know waits for the thread.
    """
    with work.reading(viewer) as unit:
        place = people.organisation(unit, viewer.organisation_id).name
    written = {
        token: _letter(letters, place, email, token, until) for email, token in tokens.items()
    }

    def send_each() -> None:
        failed = _send_each(letters.smtp_url, written)
        if failed:
            with work.writing(viewer) as unit:
                offers.not_sent(unit, [hashed(token) for token in failed], now)

    sending = Thread(target=send_each)
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


def _send_each(smtp_url: str, written: Mapping[str, EmailMessage]) -> list[str]:
    """The tokens whose letters did not go.

    An address that is refused does not hold up the others; where the server itself is not reached,
    the rest is not tried.
    """
    failed, tokens = [], list(written)
    for number, token in enumerate(tokens):
        try:
            send(smtp_url, [written[token]])
        except smtplib.SMTPException:
            failed.append(token)
        except OSError:
            return [*failed, *tokens[number:]]
    return failed
