"""Answers of a member, for whoever trains them: only those given in the viewer's organisation."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import func, select

from trainer.core.problems import NotFound
from trainer.store.practice import ResponseRow, ShownItemRow, newest_first
from trainer.store.statements import Found
from trainer.store.unit import Unit


def of_member(
    unit: Unit, person_id: str, before: tuple[datetime, str] | None, most: int
) -> Sequence[Found]:
    """A member's answers in practice, newest first, from one (answered_at, item_id) on."""
    chosen = select(
        ResponseRow.item_id,
        ResponseRow.method,
        ResponseRow.topic,
        ResponseRow.right,
        ResponseRow.critical_error,
        ResponseRow.misconceptions,
        ResponseRow.answered_at,
    ).where(
        ResponseRow.person_id == person_id,
        ResponseRow.organisation_id == unit.viewer.organisation_id,
    )
    return newest_first(unit, chosen, before, most)


def answer(unit: Unit, person_id: str, item_id: str) -> Found:
    """One answer of a member with its scenario: kept, response, answered_at. Raises NotFound."""
    row = unit.session.execute(
        select(ShownItemRow.kept, ResponseRow.response, ResponseRow.answered_at)
        .join(ShownItemRow, ShownItemRow.id == ResponseRow.item_id)
        .where(
            ResponseRow.item_id == item_id,
            ResponseRow.person_id == person_id,
            ResponseRow.organisation_id == unit.viewer.organisation_id,
        )
    ).first()
    if row is None:
        raise NotFound
    return row


def of_method(unit: Unit, method: str, most: int) -> Sequence[Found]:
    """The organisation's latest answers in practice on a method: family, person_id, right,
    misconceptions, content."""
    return unit.session.execute(
        select(
            ResponseRow.family,
            ResponseRow.person_id,
            ResponseRow.right,
            ResponseRow.misconceptions,
            ShownItemRow.content,
        )
        .join(ShownItemRow, ShownItemRow.id == ResponseRow.item_id)
        .where(
            ResponseRow.organisation_id == unit.viewer.organisation_id,
            ResponseRow.method == method,
        )
        .order_by(ResponseRow.answered_at.desc(), ResponseRow.item_id.desc())
        .limit(most)
    ).all()


def recent(unit: Unit, person_id: str, method: str, since: datetime) -> tuple[int, int]:
    """How many answers a person gave in practice of a method, and how many could hurt somebody."""
    chosen = select(func.count()).where(
        ResponseRow.person_id == person_id,
        ResponseRow.method == method,
        ResponseRow.answered_at >= since,
    )
    harmful = unit.session.scalar(chosen.where(ResponseRow.critical_error)) or 0
    return unit.session.scalar(chosen) or 0, harmful
