"""A forgotten password: a link by mail where mail is set, else from an administrator."""

from datetime import datetime, timedelta
from email.message import EmailMessage

from trainer.store import people
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.one_use_links import RECOVERY, make_link
from trainer.use_cases.send_mail import send
from trainer.use_cases.work import Work


def ask_by_mail(
    work: Work,
    smtp_url: str,
    sender: str,
    email: str,
    base_url: str,
    lasts: timedelta,
    now: datetime,
) -> None:
    """Send a link to the address if somebody has it. Says nothing of whether anybody does."""
    with work.writing() as unit:
        row = people.by_email(unit, email)
        if row is None or row.disabled_at:
            return
        token = make_link(unit, row.id, RECOVERY, lasts, now)
        message = _message(sender, row.email, f"{base_url}/set-password/{token}", lasts)
    send(smtp_url, [message])


def recovery_link(unit: Unit, person_id: str, lasts: timedelta, now: datetime) -> str:
    """A token for a member who asked in person; administrators and instructors only.

    An instructor may help apprentices only. Raises Forbidden, NotFound.
    """
    unit.viewer.must_be("administrator", "instructor")
    row, membership = people.member(unit, person_id)
    if set(membership.roles) - {"apprentice"}:
        unit.viewer.must_be("administrator")
    log(unit, "person.recovery_link", {"person": row.id}, now, person_id=row.id)
    return make_link(unit, row.id, RECOVERY, lasts, now)


def _message(sender: str, to: str, link: str, lasts: timedelta) -> EmailMessage:
    message = EmailMessage()
    message["From"], message["To"] = sender, to
    message["Subject"] = "Set a new password"
    hours = int(lasts.total_seconds() // 3600)
    message.set_content(
        "Somebody asked for a new password for this address.\n\n"
        f"Set it here, once, within {hours} hours:\n{link}\n\n"
        "If it was not you, do nothing: your password stays as it is.\n"
    )
    return message
