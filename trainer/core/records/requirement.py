"""What a new completion record needs, and what is still missing.

An assessment passed, and fit, maintain and remove each observed and signed off. To renew, both must
be newer than the record held: an old sign-off says nothing about today's hands.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.core.records.standing import OBSERVED_SERVICES, HeldRecord

MONTHS = 12  # in a year
LONGER_THAN_ANY_MONTH = timedelta(days=32)


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


def missing(
    day: date,
    passed_on: date | None,
    observed_on: Mapping[str, date],
    held: Sequence[HeldRecord],
    renew_days: int,
) -> Missing:
    """Work out what a new record still needs.

    Parameters
    ----------
    day : Today.
    passed_on : Day of the latest passed assessment, or None.
    observed_on : Latest day each service was signed off with all critical criteria met.
    held : Records of the person for the method.
    renew_days : How many days before its end a record may be renewed.

    Returns
    -------
    What is missing. `still_held` means that a record in force lasts longer than `renew_days`.
    """
    lasting = day + timedelta(days=renew_days)
    last = max((one.valid_from for one in held), default=None)
    stopped = max((one.since for one in held if one.state != "in_force"), default=None)
    after = max((one for one in (last, stopped) if one is not None), default=None)
    return Missing(
        any(one.state == "in_force" and one.valid_until > lasting for one in held),
        passed_on is None or (after is not None and passed_on <= after),
        tuple(
            service
            for service in OBSERVED_SERVICES
            if service not in observed_on or (after is not None and observed_on[service] <= after)
        ),
    )


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
