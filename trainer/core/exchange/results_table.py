"""Results as a CSV table (RFC 4180), a line a person, method and topic.

The line with an empty topic is the whole method: it alone has the decision and the record. No
question and no answer stands in it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from trainer.core.exchange.csv_cells import Cell, csv_text
from trainer.core.knowledge.words import SERVICES

HEADING = (
    "sourced_id",
    "name",
    "email",
    "method",
    "topic",
    "against_the_standard",
    "answers",
    "right",
    "last_answer_on",
    *(f"standing_{service}" for service in SERVICES),
    "decision",
    "decided_on",
    "chance_decision_is_right",
    "record",
    "record_state",
    "record_services",
    "valid_from",
    "valid_until",
)


@dataclass(frozen=True, slots=True)
class Decided:
    """What an assessment decided. `sure`: probability 0..1 that it is right, None if not known."""

    passed: bool
    on: datetime
    sure: float | None


@dataclass(frozen=True, slots=True)
class Held:
    """The newest record of a method."""

    number: str
    state: str
    services: tuple[str, ...]
    valid_from: datetime
    valid_until: datetime


@dataclass(frozen=True, slots=True)
class Result:
    """One line. `right` is None for a reader who does not train these people."""

    sourced_id: str
    name: str
    email: str
    method: str
    topic: str
    against: str = ""
    answers: int = 0
    right: int | None = None
    last: datetime | None = None
    standings: Mapping[str, str] = field(default_factory=dict)
    decided: Decided | None = None
    held: Held | None = None


def results_csv(results: Iterable[Result]) -> str:
    """The whole table; days are written as year-month-day, in UTC."""
    return csv_text(HEADING, map(_cells, results))


def _cells(one: Result) -> list[Cell]:
    decided, held = one.decided, one.held
    return [
        one.sourced_id,
        one.name,
        one.email,
        one.method,
        one.topic,
        one.against,
        one.answers,
        one.right,
        _day(one.last),
        *(one.standings.get(service, "") for service in SERVICES),
        ("passed" if decided.passed else "not passed") if decided else "",
        _day(decided.on) if decided else "",
        round(decided.sure, 2) if decided and decided.sure is not None else None,
        held.number if held else "",
        held.state if held else "",
        " ".join(held.services) if held else "",
        _day(held.valid_from) if held else "",
        _day(held.valid_until) if held else "",
    ]


def _day(at: datetime | date | None) -> str:
    return "" if at is None else f"{at:%Y-%m-%d}"
