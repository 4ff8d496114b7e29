"""A forgotten password: a link by mail where mail is set, else from an administrator."""

from datetime import datetime, timedelta
from email.message import EmailMessage
from threading import Thread

from trainer.store import people
from trainer.store.first_houses import came_before
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.one_use_links import RECOVERY, make_link
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import INVITERS
from trainer.use_cases.send_mail import Letters, new_letter, send
from trainer.use_cases.work import Work

MOST_OPEN = 3
"""Links of one person that work at a time: nobody's letter box is flooded by a stranger."""
ELSEWHERE = "This link is not yours to hand out: they had an account before they came here"


def ask_by_mail(
    work: Work, letters: Letters, email: str, lasts: timedelta, now: datetime
) -> Thread:
    """Send a link to the address if somebody has it. Says nothing of whether anybody does.

    It is done behind the answer, whose time would say it too; who wants to know waits for the
    thread.
    """
    sending = Thread(target=_send_link, args=(work, letters, email, lasts, now))
    sending.start()
    return sending


def recovery_link(unit: Unit, person_id: str, lasts: timedelta, now: datetime) -> str:
    """A token for a member who asked in person; administrators and instructors only.

    A link opens everything that its person may see anywhere. So only the organisation that they
    came to first hands one out, and an instructor only for whoever is an apprentice wherever they
    belong. Raises Forbidden, NotFound, InputProblem.
    """
    unit.viewer.must_be(*INVITERS)
    row, _ = people.member(unit, person_id)
    roles = {one for member, _ in people.memberships_of(unit, person_id) for one in member.roles}
    if roles - {"apprentice"}:
        unit.viewer.must_be("administrator")
    if came_before(unit, [person_id]):
        remedy = (
            "They press 'I forgot my password' when they sign in, or ask where they were first."
        )
        raise InputProblem(ELSEWHERE, "person", remedy)
    log(unit, "person.recovery_link", {"person": row.id}, now, person_id=row.id)
    return make_link(unit, row.id, RECOVERY, lasts, now)


def _send_link(work: Work, letters: Letters, email: str, lasts: timedelta, now: datetime) -> None:
    with work.writing() as unit:
        row = people.by_email(unit, email)
        if row is None or row.disabled_at:
            return
        if len(people.open_links(unit, row.id, now)) >= MOST_OPEN:
            return
        token = make_link(unit, row.id, RECOVERY, lasts, now)
        message = _message(letters.sender, row.email, f"{letters.site}/set-password/{token}", lasts)
    send(letters.smtp_url, [message])


def _message(sender: str, to: str, link: str, lasts: timedelta) -> EmailMessage:
    message = new_letter(sender, to, "Set a new password")
    hours = int(lasts.total_seconds() // 3600)
    message.set_content(
        "Somebody asked for a new password for this address.\n\n"
        f"Set it here, once, within {hours} hours:\n{link}\n\n"
        "If it was not you, do nothing: your password stays as it is.\n"
    )
    return message
