"""What an organisation's people learnt, as xAPI statements, between two moments.

Everything is worked out from what is kept, decisions of old with it: a second telling is the same
to the letter, and what was corrected since is first said, then voided, then said anew.
"""

from collections.abc import Iterator, Sequence
from datetime import datetime

from trainer.core.exchange.xapi import (
    Answered,
    Home,
    Sat,
    Statement,
    Watched,
    answered,
    decided,
    sat,
    voided,
    watched,
)
from trainer.core.items.item import Mark
from trainer.store import contests, learning_events, people
from trainer.store.contests import SittingDecisionRow
from trainer.store.sittings import SittingRow
from trainer.store.unit import Unit, Viewer
from trainer.use_cases.finish_sitting import Reviewed, reviewed_of
from trainer.use_cases.refusals import InputProblem


def home_of(unit: Unit, address: str) -> Home:
    """The place that speaks. Raises Forbidden; InputProblem where the site has no address."""
    unit.viewer.must_be("administrator")
    if not address:
        raise InputProblem(
            "is not set: statements name people as accounts of this site",
            "TRAINER_BASE_URL",
            "Set how the outside reaches the site.",
        )
    return Home(address.rstrip("/"), unit.viewer.organisation_id)


def teller(unit: Unit, organisation_id: str) -> Viewer:
    """As whom the machine itself tells of an organisation. Raises NotFound."""
    return Viewer("", people.organisation(unit, organisation_id).id, frozenset({"administrator"}))


def tell(unit: Unit, home: Home, since: datetime, until: datetime) -> Iterator[Statement]:
    """Every statement about `since` to `until` (not taken in): practice, sittings, watched work."""
    unit.viewer.must_be("administrator")
    yield from _practice(unit, home, since, until)
    for row in learning_events.sittings(unit, since, until):
        yield from _sitting(unit, home, row)
    for watching, at in learning_events.signed_off(unit, since, until):
        one = watching.first
        work = Watched(one.id, one.person_id, one.observer_id, one.method, one.service, at)
        said = watched(home, work)
        yield said
        if one.set_aside_at is not None:
            yield voided(home, said["id"], one.set_aside_at)


def _practice(unit: Unit, home: Home, since: datetime, until: datetime) -> Iterator[Statement]:
    after = None
    while rows := learning_events.answers(unit, since, until, after):
        for row in rows:
            yield answered(
                home,
                Answered(
                    row.item_id,
                    row.person_id,
                    row.method,
                    row.topic,
                    row.family,
                    row.type,
                    row.response,
                    row.score,
                    row.right,
                    row.critical_error,
                    row.answered_at,
                ),
            )
        after = (rows[-1].answered_at, rows[-1].item_id)


def _sitting(unit: Unit, home: Home, row: SittingRow) -> Iterator[Statement]:
    history = contests.decisions(unit, row.id)
    for reviewed in reviewed_of(unit, row.id):
        mark = reviewed.answered.mark
        if mark is None:
            continue
        said = answered(home, _marked(row, reviewed, mark))
        yield said
        if reviewed.withdrawn and history:
            yield voided(home, said["id"], history[-1].decided_at)
    yield from sat(home, _sat(row))
    yield from _decisions(unit, home, row, history)


def _decisions(
    unit: Unit, home: Home, row: SittingRow, history: Sequence[SittingDecisionRow]
) -> Iterator[Statement]:
    last: Statement | None = None
    stood: Sat | None = None
    for one in history:
        stands = _sat(row, one)
        if stands == stood:
            continue
        if last is not None:
            yield voided(home, last["id"], one.decided_at)
        last, stood = decided(home, stands, one.number), stands
        yield last
    if last is None:
        last = decided(home, _sat(row), 1)
        yield last
    withdrawn = learning_events.withdrawn_at(unit, row.id)
    if withdrawn is not None:
        yield voided(home, last["id"], withdrawn)


def _sat(row: SittingRow, stands: SittingDecisionRow | None = None) -> Sat:
    """A sitting as it stood with one decision; else as it stands."""
    of = stands or row
    finished = row.finished_at or row.closes_at
    return Sat(
        row.id,
        row.person_id,
        row.method,
        row.opened_at,
        finished,
        of.score or 0,
        of.most,
        of.cut,
        bool(of.passed),
    )


def _marked(row: SittingRow, reviewed: Reviewed, mark: Mark) -> Answered:
    heading = reviewed.item.heading
    return Answered(
        f"{row.id}-{reviewed.position}",
        row.person_id,
        row.method,
        heading.topic,
        heading.family,
        heading.type,
        reviewed.answer,
        mark.score,
        mark.right,
        mark.critical_error,
        row.finished_at or row.closes_at,
        row.id,
    )
