"""What an organisation's people practised, sat and were watched at, between two moments."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import Select, or_, select

from trainer.store.contests import SittingDecisionRow
from trainer.store.observations import ObservationRow, Watching
from trainer.store.practice import ITEMS, RESPONSES
from trainer.store.records import RecordRow
from trainer.store.sittings import SittingRow
from trainer.store.statements import Found
from trainer.store.unit import Unit

AT_ONCE = 500
RESTS_ON = "sitting:"
"""How a record's basis names a sitting; issued again, it names the record before instead."""


def answers(
    unit: Unit, since: datetime, until: datetime, after: tuple[datetime, str] | None = None
) -> Sequence[Found]:
    """Some practice answers of the viewer's organisation in order, from a place in it on.

    item_id, person_id, method, topic, family, type, response, score, right, critical_error,
    answered_at. `since` is taken in, `until` is not.
    """
    chosen = (
        select(
            RESPONSES.c.item_id,
            RESPONSES.c.person_id,
            RESPONSES.c.method,
            RESPONSES.c.topic,
            RESPONSES.c.family,
            ITEMS.c.kept["type"].as_string().label("type"),
            RESPONSES.c.response,
            RESPONSES.c.score,
            RESPONSES.c.right,
            RESPONSES.c.critical_error,
            RESPONSES.c.answered_at,
        )
        .join(ITEMS, ITEMS.c.id == RESPONSES.c.item_id)
        .where(
            RESPONSES.c.organisation_id == unit.viewer.organisation_id,
            RESPONSES.c.answered_at >= since,
            RESPONSES.c.answered_at < until,
        )
        .order_by(RESPONSES.c.answered_at, RESPONSES.c.item_id)
        .limit(AT_ONCE)
    )
    if after is not None:
        at, item_id = after
        later = RESPONSES.c.answered_at > at
        chosen = chosen.where(
            later | ((RESPONSES.c.answered_at == at) & (RESPONSES.c.item_id > item_id))
        )
    return unit.connection.execute(chosen).all()


def sittings(unit: Unit, since: datetime, until: datetime) -> Sequence[SittingRow]:
    """The sittings of the viewer's organisation on which something was decided in between.

    Also those whose record was withdrawn then.
    """
    decided = select(SittingDecisionRow.sitting_id).where(
        SittingDecisionRow.decided_at >= since, SittingDecisionRow.decided_at < until
    )
    return unit.session.scalars(
        select(SittingRow)
        .where(
            SittingRow.organisation_id == unit.viewer.organisation_id,
            SittingRow.finished_at.is_not(None),
            or_(
                (SittingRow.finished_at >= since) & (SittingRow.finished_at < until),
                SittingRow.id.in_(decided),
                SittingRow.id.in_(_sittings_of_withdrawn(unit, since, until)),
            ),
        )
        .order_by(SittingRow.finished_at, SittingRow.id)
    ).all()


def withdrawn_at(unit: Unit, sitting_id: str) -> datetime | None:
    """When the record that rests on a sitting was withdrawn; None where it was not."""
    basis = f"{RESTS_ON}{sitting_id}"
    while True:
        row = unit.session.scalar(select(RecordRow).where(RecordRow.basis == basis))
        if row is None:
            return None
        if row.state == "withdrawn":
            return row.state_since
        again = (f"reinstates:{row.id}", f"reissues:{row.id}")
        following = unit.session.scalar(select(RecordRow.basis).where(RecordRow.basis.in_(again)))
        if following is None:
            return None
        basis = following


def signed_off(unit: Unit, since: datetime, until: datetime) -> Sequence[tuple[Watching, datetime]]:
    """Work of the viewer's organisation that came to be signed off in between, and when.

    With two observers it is signed off with the second sheet. Also what was set aside then.
    """
    rows = unit.session.scalars(
        select(ObservationRow)
        .where(
            ObservationRow.organisation_id == unit.viewer.organisation_id,
            or_(
                (ObservationRow.signed_at >= since) & (ObservationRow.signed_at < until),
                (ObservationRow.set_aside_at >= since) & (ObservationRow.set_aside_at < until),
            ),
            ObservationRow.met,
        )
        .order_by(ObservationRow.signed_at, ObservationRow.id)
    ).all()
    found = []
    for row in rows:
        if row.second_of:
            first = unit.session.get_one(ObservationRow, row.second_of)
            found.append((Watching(first, row), row.signed_at))
        elif not row.asks_second:
            found.append((Watching(row, None), row.signed_at))
    return [one for one in found if one[0].said_met]


def _sittings_of_withdrawn(unit: Unit, since: datetime, until: datetime) -> list[str]:
    """The sittings under records withdrawn in between, through records issued again."""
    rows = unit.session.scalars(_withdrawn(unit, since, until)).all()
    found = []
    for row in rows:
        while not row.basis.startswith(RESTS_ON):
            row = unit.session.get_one(RecordRow, row.basis.split(":", 1)[1])
        found.append(row.basis.removeprefix(RESTS_ON))
    return found


def _withdrawn(unit: Unit, since: datetime, until: datetime) -> Select[RecordRow]:
    return select(RecordRow).where(
        RecordRow.organisation_id == unit.viewer.organisation_id,
        RecordRow.state == "withdrawn",
        RecordRow.state_since >= since,
        RecordRow.state_since < until,
    )
