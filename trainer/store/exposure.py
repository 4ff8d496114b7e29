"""Which families the last forms were made of."""

from collections.abc import Mapping

from sqlalchemy import func, select

from trainer.store.sittings import MAIN, SittingItemRow, SittingRow
from trainer.store.unit import Unit


def of_organisation(unit: Unit, method: str, count: int) -> tuple[int, Mapping[str, int]]:
    """The viewer's organisation's last forms of a method: how many, and family -> forms with it."""
    last = (
        select(SittingRow.id)
        .where(
            SittingRow.organisation_id == unit.viewer.organisation_id,
            SittingRow.method == method,
        )
        .order_by(SittingRow.opened_at.desc())
        .limit(count)
    )
    return _uses(unit, list(unit.session.scalars(last)))


def of_viewer(unit: Unit, method: str, count: int) -> Mapping[str, int]:
    """The families of the viewer's own last forms of a method, wherever they sat them."""
    last = (
        select(SittingRow.id)
        .where(SittingRow.person_id == unit.viewer.person_id, SittingRow.method == method)
        .order_by(SittingRow.opened_at.desc())
        .limit(count)
    )
    return _uses(unit, list(unit.session.scalars(last)))[1]


def _uses(unit: Unit, sittings: list[str]) -> tuple[int, Mapping[str, int]]:
    used = (
        select(SittingItemRow.family, func.count(SittingItemRow.sitting_id.distinct()))
        .where(SittingItemRow.sitting_id.in_(sittings), SittingItemRow.phase == MAIN)
        .group_by(SittingItemRow.family)
    )
    rows = unit.session.execute(used).all() if sittings else []
    return len(sittings), {family: int(count) for family, count in rows}
