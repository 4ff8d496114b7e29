"""Standing: where a person stands with one method and service on a day.

Five facts decide: what was practised, whether the assessment is passed, what was observed, and the
records with their state. The last word counts: a suspension or withdrawal stands until a newer
record is issued, whoever issued it. A record that was replaced (issued again under another name)
says nothing any more: the new one says the same.

A record from elsewhere counts in the same way, for the services it names alone, and only until its
issuer's list must be looked at again.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Literal

from trainer.core.knowledge.words import OBSERVED_SERVICES

State = Literal["in_force", "suspended", "withdrawn", "replaced", "marked"]
Word = Literal[
    "not_started",
    "working_towards",
    "competent",
    "expired",
    "suspended",
    "withdrawn",
    "marked",
    "unchecked",
]
STOPS: tuple[Word, ...] = ("suspended", "withdrawn", "marked")
EARLIEST = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True)
class HeldRecord:
    """One record of a person for one method; both days included; `since` is when `state` began.

    `from_elsewhere`: it names all that it covers, and counts until `checked_until` unless its
    status is looked at again (None: it never was). State marked: its issuer's list says that it
    is no longer valid, and `since` is the day on which that was seen. `at`: the moment of `since`,
    which tells a suspension from its lifting on the same day.
    """

    id: str
    services: frozenset[str]
    valid_from: date
    valid_until: date
    state: State
    since: date
    from_elsewhere: bool = False
    checked_until: date | None = None
    at: datetime = EARLIEST


@dataclass(frozen=True)
class Progress:
    """What is known beside records, for one person and method.

    `started` is whether anything was practised or sat; `passed_on` the day of the latest passed
    assessment; `observed` the services signed off since.
    """

    started: bool
    passed_on: date | None
    observed: frozenset[str]


@dataclass(frozen=True)
class Standing:
    """A word, the day until or since which it holds, and the record it rests on, if any."""

    word: Word
    day: date | None = None
    record: str | None = None


def standing_on(
    day: date, service: str, records: Sequence[HeldRecord], progress: Progress
) -> Standing:
    """Work out the standing for one method and service.

    Parameters
    ----------
    day : The day asked about.
    service : One of consult, fit, maintain, remove, aftercare. Consult and aftercare are part of
        every record for the method.
    records : All records of the person for the method, from any issuer.
    progress : What is known beside records.

    Returns
    -------
    The standing. For competent and expired `day` is the last day of the record; for suspended,
    withdrawn and marked the day it began; for unchecked the last day on which its status was known
    well enough, None where it never was.
    """
    known = [
        one
        for one in records
        if covers(one, service) and one.valid_from <= day and _state(one, day) != "replaced"
    ]
    if not known:
        return _without_record(progress)
    latest = max(known, key=lambda one: (*_last_word(one, day), one.valid_until, one.id))
    state = _state(latest, day)
    if state == "suspended" or state == "withdrawn" or state == "marked":
        return Standing(state, latest.since, latest.id)
    in_force = [one for one in known if _state(one, day) == "in_force"]
    best = max(in_force, key=lambda one: (_is_known(one, day), one.valid_until, one.id))
    if day > best.valid_until:
        return Standing("expired", best.valid_until, best.id)
    if not _is_known(best, day):
        return Standing("unchecked", best.checked_until, best.id)
    return Standing("competent", best.valid_until, best.id)


def on_day(standing: Standing, day: date) -> Standing:
    """Bring a standing that was kept up to another day.

    Parameters
    ----------
    standing : As kept on an earlier day.
    day : The day asked about.

    Returns
    -------
    The same, but expired where its record has ended by then.
    """
    ended = standing.word == "competent" and standing.day is not None and day > standing.day
    return Standing("expired", standing.day, standing.record) if ended else standing


def covers(record: HeldRecord, service: str) -> bool:
    """Tell whether a record speaks of a service.

    Parameters
    ----------
    record : One record.
    service : One of the five services.

    Returns
    -------
    True when the record names it, or when it is consult or aftercare, which every record of ours
    includes.
    """
    included = service not in OBSERVED_SERVICES and not record.from_elsewhere
    return service in record.services or included


def may_change(state: State, to: State) -> bool:
    """Tell whether a record's state may change: withdrawal is final, so is a set status bit.

    Parameters
    ----------
    state, to : Its state now and the one wanted.

    Returns
    -------
    True for in force to suspended, withdrawn or replaced, and for suspended to withdrawn. A
    suspension is lifted by a new record, never by clearing the old one.
    """
    return (state, to) in {
        ("in_force", "suspended"),
        ("in_force", "withdrawn"),
        ("in_force", "replaced"),
        ("suspended", "withdrawn"),
    }


def _state(record: HeldRecord, day: date) -> State:
    return record.state if record.since <= day else "in_force"


def _is_known(record: HeldRecord, day: date) -> bool:
    """In force on the day, and nobody need look again whether it was withdrawn."""
    if day > record.valid_until or not record.from_elsewhere:
        return day <= record.valid_until
    return record.checked_until is not None and day <= record.checked_until


def _last_word(record: HeldRecord, day: date) -> tuple[date, datetime]:
    if record.since <= day:
        return record.since, record.at
    return record.valid_from, EARLIEST


def _without_record(progress: Progress) -> Standing:
    started = progress.started or progress.passed_on is not None or bool(progress.observed)
    return Standing("working_towards") if started else Standing("not_started")
