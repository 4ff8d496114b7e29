"""What a completion record takes, how each requirement stands, and how long the record holds.

An assessment passed, and the services of the method's scheme each observed and signed off. To
renew, what is asked again must be newer than the record held: an old sign-off says nothing about
today's hands.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Literal

from trainer.core.knowledge.scheme import Scheme
from trainer.core.records.standing import HeldRecord

MONTHS = 12  # in a year
LONGER_THAN_ANY_MONTH = timedelta(days=32)
Pending = Literal["not_met", "second_missing", "set_aside"]
State = Literal["met", "missing", "too_old", Pending]
ASSESSMENT = "assessment"


@dataclass(frozen=True)
class Done:
    """What a person has to show for a method.

    `passed_on`: day of the latest passed assessment. `observed_on`: day each service was signed
    off. `pending`: services whose latest sheet does not count: 'not_met', 'second_missing' while a
    second observer's sheet is still to come, or 'set_aside' until somebody else has watched it.
    """

    passed_on: date | None = None
    observed_on: Mapping[str, date] = field(default_factory=dict)
    pending: Mapping[str, Pending] = field(default_factory=dict)


@dataclass(frozen=True)
class Requirement:
    """One thing that a record takes: 'assessment' or a service; its state and the day it was met.

    `too_old`: met once, but before the record now held, or before it was suspended or withdrawn.
    """

    what: str
    state: State
    on: date | None = None

    @property
    def met(self) -> bool:
        """Whether it counts."""
        return self.state == "met"


@dataclass(frozen=True)
class Missing:
    """What stands between a person and a record; all empty when it can be issued."""

    still_held: bool
    assessment: bool
    observed: tuple[str, ...]

    @property
    def nothing(self) -> bool:
        """Whether a record can be issued now."""
        return not (self.still_held or self.assessment or self.observed)


def requirements(
    day: date, scheme: Scheme, done: Done, held: Sequence[HeldRecord]
) -> tuple[Requirement, ...]:
    """Say how each requirement of a new record stands.

    Parameters
    ----------
    day : Today.
    scheme : What a record for the method takes.
    done : What the person has to show.
    held : Records of the person for the method.

    Returns
    -------
    The assessment first, then each service of the scheme. Whoever renews in time is asked again
    only for `scheme.refresh.observed`; for the other services an older sign-off counts.
    """
    since = _counts_after(held)
    again = scheme.refresh.observed if may_refresh(day, scheme, held) else scheme.observed
    found = [_state(ASSESSMENT, done.passed_on, since, None)]
    for service in scheme.observed:
        after = since if service in again else None
        found.append(
            _state(service, done.observed_on.get(service), after, done.pending.get(service))
        )
    return tuple(found)


def missing(day: date, scheme: Scheme, done: Done, held: Sequence[HeldRecord]) -> Missing:
    """Work out what a new record still needs.

    Parameters
    ----------
    day, scheme, done, held : As for `requirements`.

    Returns
    -------
    What is missing. `still_held` means that a record in force lasts longer than the days in which
    it may be renewed.
    """
    lasting = day + timedelta(days=scheme.renew_days)
    asked = [one for one in requirements(day, scheme, done, held) if not one.met]
    return Missing(
        any(one.state == "in_force" and one.valid_until > lasting for one in held),
        any(one.what == ASSESSMENT for one in asked),
        tuple(one.what for one in asked if one.what != ASSESSMENT),
    )


def may_refresh(day: date, scheme: Scheme, held: Sequence[HeldRecord]) -> bool:
    """Tell whether a person may renew the shorter way.

    Parameters
    ----------
    day, scheme, held : As for `requirements`.

    Returns
    -------
    True in the last `scheme.renew_days` days of a record in force and up to
    `scheme.refresh.late_days` after its end; never once a record was suspended or withdrawn and no
    newer one issued.
    """
    living = [one for one in held if one.state != "replaced"]
    if not living:
        return False
    latest = max(living, key=lambda one: (one.since, one.valid_until, one.id))
    if latest.state != "in_force":
        return False
    end = max(one.valid_until for one in living if one.state == "in_force")
    late = end + timedelta(days=scheme.refresh.late_days)
    return end - timedelta(days=scheme.renew_days) <= day <= late


def last_day(day: date, months: int, scheme: Scheme, held: Sequence[HeldRecord]) -> date:
    """Give the last day of a record issued today.

    Parameters
    ----------
    day : Today.
    months : Calendar months that a record holds, 1 or more.
    scheme, held : As for `requirements`.

    Returns
    -------
    `months` after the end of a record in force that is in its last `scheme.renew_days` days, so
    that nobody loses time by renewing early; else `months` from today.
    """
    window = day + timedelta(days=scheme.renew_days)
    ends = [
        one.valid_until
        for one in held
        if one.state == "in_force" and one.valid_from <= day <= one.valid_until <= window
    ]
    return end_of(max(ends, default=day), months)


def end_of(start: date, months: int) -> date:
    """Give the last day of a record that holds for whole months.

    Parameters
    ----------
    start : Its first day.
    months : Calendar months, 1 or more.

    Returns
    -------
    The same day of the month, `months` later; the last day of that month where it has no such day.

    Raises
    ------
    ValueError : If `months` is below 1.
    """
    if months < 1:
        raise ValueError(f"{months=}")
    ahead = start.month - 1 + months
    first = date(start.year + ahead // MONTHS, ahead % MONTHS + 1, 1)
    next_month = (first + LONGER_THAN_ANY_MONTH).replace(day=1)
    return min(first + timedelta(days=start.day - 1), next_month - timedelta(days=1))


def _counts_after(held: Sequence[HeldRecord]) -> date | None:
    """The day after which things count: of the newest record, or of a stop."""
    living = [one for one in held if one.state != "replaced"]
    days = [one.valid_from for one in living]
    days += [one.since for one in living if one.state != "in_force"]
    return max(days, default=None)


def _state(what: str, on: date | None, after: date | None, pending: Pending | None) -> Requirement:
    if on is not None and (after is None or on > after):
        return Requirement(what, "met", on)
    if pending is not None:
        return Requirement(what, pending)
    return Requirement(what, "missing" if on is None else "too_old", on)
