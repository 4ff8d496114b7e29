"""What a record from elsewhere says, and which of it a house lets count.

A good signature is not trust. A record counts for what it names by the words that records of this
program use (method as `humanCode`, services as `tag`), and of that only for what its issuer is
accepted for. Nothing is mapped from other words, so what a record does not name counts for nothing.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from trainer.core.records.instants import read_instant
from trainer.core.records.proof import issuer_of
from trainer.core.records.status_list import ENTRY_KIND

LONGEST = 200  # characters of a stranger's words that are shown


@dataclass(frozen=True)
class Outside:
    """What one record says. `method` and `services` are ids of ours, '' and none if it names none.

    `named` is what it calls itself, `issuer_named` what its issuer calls itself; `valid_until` is
    None where it has no last day; `lists` are the addresses of its status lists.
    """

    issuer: str
    issuer_named: str
    named: str
    method: str
    services: tuple[str, ...]
    valid_from: date
    valid_until: date | None
    lists: tuple[str, ...]


def read_outside(
    record: Mapping[str, Any], methods: Collection[str], services: Collection[str]
) -> Outside:
    """Read what a record says, once its shape and proof are known to be good.

    Parameters
    ----------
    record : The record as parsed JSON.
    methods, services : The ids that this program knows.

    Returns
    -------
    What it names of ours, its days, and where its status stands.

    Raises
    ------
    ValueError : If it has no first day, which the shape forbids.
    """
    achievement = _achievement(record)
    code = achievement.get("humanCode")
    tags = achievement.get("tag")
    since, until = read_instant(record.get("validFrom")), read_instant(record.get("validUntil"))
    if since is None:
        raise ValueError("a record without a first day")
    issuer = record.get("issuer")
    return Outside(
        issuer_of(record),
        _words(issuer.get("name") if isinstance(issuer, dict) else ""),
        _words(record.get("name") or achievement.get("name")),
        code if isinstance(code, str) and code in methods else "",
        tuple(one for one in services if isinstance(tags, list) and one in tags),
        since.date(),
        until.date() if until else None,
        _lists(record),
    )


def lets_count(
    said: Outside, methods: Collection[str], services: Collection[str]
) -> tuple[str, ...]:
    """Say for which services a record counts in a house.

    Parameters
    ----------
    said : What it says.
    methods, services : What the house accepts its issuer for.

    Returns
    -------
    The services that it names and the issuer is accepted for; none for another method, or for a
    record without a last day.
    """
    if said.method not in methods or said.valid_until is None:
        return ()
    return tuple(one for one in said.services if one in services)


def known_until(checked_on: date | None, enough: date | None, days: int | None) -> date | None:
    """Say until when the last look at a record's status is enough in a house.

    Parameters
    ----------
    checked_on : The day of the last look that told; None for never.
    enough : Until when it was enough for the site; None where it never was looked at.
    days : How many days the house lets it be enough, 0 for that day alone; None for as the site.

    Returns
    -------
    The earlier of both; None where it never was looked at.
    """
    if checked_on is None or enough is None or days is None:
        return enough
    return min(enough, checked_on + timedelta(days=days))


def _achievement(record: Mapping[str, Any]) -> Mapping[str, Any]:
    subject = record.get("credentialSubject")
    found = subject.get("achievement") if isinstance(subject, dict) else None
    return found if isinstance(found, dict) else {}


def _words(said: object) -> str:
    return said[:LONGEST] if isinstance(said, str) else ""


def _lists(record: Mapping[str, Any]) -> tuple[str, ...]:
    declared = record.get("credentialStatus")
    entries = declared if isinstance(declared, list) else [declared]
    found = [
        one.get("statusListCredential")
        for one in entries
        if isinstance(one, dict) and one.get("type") == ENTRY_KIND
    ]
    return tuple(dict.fromkeys(one for one in found if isinstance(one, str)))
