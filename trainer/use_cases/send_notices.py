"""Letters that say what needs somebody: off until asked for, none when nothing does, off again by
one click without signing in (RFC 8058)."""

import smtplib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from email.message import EmailMessage

from itsdangerous import BadSignature, URLSafeSerializer

from trainer.core.knowledge.bank import Bank
from trainer.store import notices, people
from trainer.store.notices import NoticeRow
from trainer.store.unit import Unit, Viewer
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.see_needs import Need, needs
from trainer.use_cases.send_mail import new_letter, send
from trainer.use_cases.work import Work

NEVER, DAILY, WEEKLY = 0, 1, 7
CHOICES = (NEVER, WEEKLY, DAILY)
EARLY = timedelta(hours=4)
"""A run that starts somewhat earlier than yesterday's still counts as a day later."""
PAGE, STOP = "/needs", "/needs/stop"


@dataclass(frozen=True, slots=True)
class Mailing:
    """What letters are made with. `site`: the address people reach; `window`: as for `needs`."""

    smtp_url: str
    sender: str
    site: str
    secret: str
    window: int


@dataclass(frozen=True, slots=True)
class Sent:
    """How a run went: letters, people whom nothing needs, addresses that failed and why."""

    letters: int
    quiet: int
    failed: tuple[str, ...]


def chosen(unit: Unit) -> int:
    """Every how many days the viewer gets a letter; 0 for never."""
    row = notices.choice(unit, unit.viewer.person_id, unit.viewer.organisation_id)
    return row.every_days if row else NEVER


def choose(unit: Unit, every_days: int) -> None:
    """Ask for letters, or for none. Raises InputProblem."""
    if every_days not in CHOICES:
        raise InputProblem("This is not one of the list", "every", "Choose one.")
    person_id, place = unit.viewer.person_id, unit.viewer.organisation_id
    if not place:
        raise NotFound
    row = notices.choice(unit, person_id, place)
    if every_days == NEVER:
        if row:
            notices.drop(unit, row)
        return
    last = row.last_sent_at if row else None
    kept = NoticeRow(
        person_id=person_id, organisation_id=place, every_days=every_days, last_sent_at=last
    )
    notices.keep(unit, kept)


def stop(unit: Unit, secret: str, token: str) -> str:
    """No more letters for whoever's letter holds this token; gives the organisation's name.

    Raises NotFound for a token that this site never made.
    """
    try:
        person_id, place = _signer(secret).loads(token)
    except (BadSignature, ValueError, TypeError):
        raise NotFound from None
    row = notices.choice(unit, person_id, place)
    if row:
        notices.drop(unit, row)
    return people.organisation(unit, place).name


def send_due(work: Work, bank: Bank, mailing: Mailing, now: datetime) -> Sent:
    """Send every letter that is due. One that fails does not hold up the others.

    Raises InputProblem where no mail server or no address of the site is set.
    """
    for known, name in ((mailing.smtp_url, "TRAINER_SMTP_URL"), (mailing.site, "TRAINER_BASE_URL")):
        if not known:
            raise InputProblem("It is not set", name, "Set it, then send again.")
    with work.reading() as unit:
        due = [row for row in notices.choices(unit) if _is_due(row, now)]
    letters, quiet, failed = 0, 0, []
    for row in due:
        letter = _letter(work, bank, mailing, row, now)
        if letter is None:
            quiet += 1
            continue
        try:
            send(mailing.smtp_url, [letter])
        except (OSError, smtplib.SMTPException) as problem:
            failed.append(f"{letter['To']}: {problem}")
            continue
        letters += 1
        _mark_sent(work, row, now)
    return Sent(letters, quiet, tuple(failed))


def _is_due(row: NoticeRow, now: datetime) -> bool:
    wait = timedelta(days=row.every_days) - EARLY
    return row.last_sent_at is None or now - row.last_sent_at >= wait


def _mark_sent(work: Work, row: NoticeRow, now: datetime) -> None:
    with work.writing() as unit:
        kept = notices.choice(unit, row.person_id, row.organisation_id)
        if kept:
            kept.last_sent_at = now


def _letter(
    work: Work, bank: Bank, mailing: Mailing, row: NoticeRow, now: datetime
) -> EmailMessage | None:
    """None where nothing needs them, or they are no member any more."""
    with work.reading() as unit:
        person = people.person(unit, row.person_id)
        belongs = people.membership(unit, row.person_id, row.organisation_id)
        place = people.organisation(unit, row.organisation_id).name
    if person.disabled_at or belongs is None or belongs.ended_at:
        return None
    reader = Viewer(row.person_id, row.organisation_id, frozenset(belongs.roles))
    with work.reading(reader) as unit:
        found = needs(unit, bank, mailing.window, now)
    return _written(mailing, person.email, place, row, found) if found else None


def _written(
    mailing: Mailing, to: str, place: str, row: NoticeRow, found: tuple[Need, ...]
) -> EmailMessage:
    site = mailing.site.rstrip("/")
    off = f"{site}{STOP}/{_signer(mailing.secret).dumps([row.person_id, row.organisation_id])}"
    things = "1 thing needs" if len(found) == 1 else f"{len(found)} things need"
    message = new_letter(mailing.sender, to, f"{things} you")
    message["List-Unsubscribe"] = f"<{off}>"
    message["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
    told = [f"At {place}:", "", *(f"- {line}" for line in _lines(found)), ""]
    told += [f"See them: {site}{PAGE}", f"No more letters: {off}", ""]
    message.set_content("\n".join(told))
    return message


def _lines(found: tuple[Need, ...]) -> Iterator[str]:
    for one in found:
        day = f" {one.on:%A} {one.on.day} {one.on:%B}" if one.on else ""
        yield f"{one.words}{day}{' (late)' if one.late else ''}"


def _signer(secret: str) -> URLSafeSerializer:
    return URLSafeSerializer(secret, salt="no more letters")
