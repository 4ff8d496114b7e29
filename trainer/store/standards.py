"""Panels that rate questions, their ratings, and the standards adopted from them."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, case, func, insert, select, update
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.practice import ResponseRow
from trainer.store.sittings import DONE, SittingRow
from trainer.store.statements import Found, inserting
from trainer.store.unit import Unit

FIRST, SECOND, RATED, PROPOSED, ADOPTED, DROPPED = (
    "first",
    "second",
    "rated",
    "proposed",
    "adopted",
    "dropped",
)


class PanelRow(Base):
    """A panel for one method.

    `state`: first or second round, rated, proposed, adopted, dropped. `under_way` is
    'organisation:method' until it is adopted or dropped, so that a method has one at a time.
    """

    __tablename__ = "panels"
    __table_args__ = (
        Index(
            "ix_panels_organisation_id_method_opened_at", "organisation_id", "method", "opened_at"
        ),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    state: Mapped[str]
    under_way: Mapped[str | None] = mapped_column(unique=True)
    opened_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    opened_at: Mapped[datetime]
    changed_at: Mapped[datetime]
    proposed_by: Mapped[str | None] = mapped_column(Id)
    bank_version: Mapped[str]


class PanelItemRow(Base):
    """One family on a panel with its example question as it is shown, and its parameters.

    `answered` and `right`: how apprentices did on the family, counted when the first round ended.
    """

    __tablename__ = "panel_items"
    panel_id: Mapped[str] = mapped_column(ForeignKey("panels.id"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    family: Mapped[str]
    kept: Mapped[dict[str, Any]]
    a: Mapped[float]
    b: Mapped[float]
    b_sd: Mapped[float]
    floor: Mapped[float]
    answered: Mapped[int]
    right: Mapped[int]


class PanelRatingRow(Base):
    """One rating: of ten who are just good enough, how many get it right."""

    __tablename__ = "panel_ratings"
    panel_id: Mapped[str] = mapped_column(ForeignKey("panels.id"), primary_key=True)
    round: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    rater_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    of_ten: Mapped[int]
    rated_at: Mapped[datetime]


class StandardRow(Base):
    """An adopted cut, kept for ever.

    `in_force` is 'organisation:method' while it holds. `share` of the rated questions with its
    standard error, the `ability` behind it with its own. `summary`: rounds, agreement, raters
    by their ids.
    """

    __tablename__ = "standards"
    __table_args__ = (
        Index(
            "ix_standards_organisation_id_method_adopted_at",
            "organisation_id",
            "method",
            "adopted_at",
        ),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    panel_id: Mapped[str] = mapped_column(ForeignKey("panels.id"), unique=True)
    in_force: Mapped[str | None] = mapped_column(unique=True)
    proposed_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    adopted_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    adopted_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    share: Mapped[float]
    share_se: Mapped[float]
    ability: Mapped[float]
    ability_se: Mapped[float]
    summary: Mapped[dict[str, Any]]


def here(unit: Unit, method: str) -> str:
    """What marks a method of the viewer's organisation."""
    return f"{unit.viewer.organisation_id}:{method}"


def open_once(unit: Unit, values: dict[str, Any], items: Sequence[dict[str, Any]]) -> str:
    """Keep a new panel with its items; gives the id of the one under way if there is one."""
    statement = inserting(unit, PanelRow).values(values).on_conflict_do_nothing()
    if unit.session.execute(statement.returning(PanelRow.id)).first() is None:
        there = under_way(unit, values["method"])
        if there is None:
            raise NotFound
        return there.id
    unit.session.execute(insert(PanelItemRow), list(items))
    return str(values["id"])


def panel(unit: Unit, panel_id: str, to_change: bool = False) -> PanelRow:
    """A panel of the viewer's organisation. Raises NotFound."""
    return unit.ours(PanelRow, panel_id, to_change)


def under_way(unit: Unit, method: str) -> PanelRow | None:
    """The panel of a method that is neither adopted nor dropped, or None."""
    return unit.session.scalar(select(PanelRow).where(PanelRow.under_way == here(unit, method)))


def all_under_way(unit: Unit) -> Sequence[PanelRow]:
    """Every panel of the viewer's organisation that is under way."""
    return unit.session.scalars(
        select(PanelRow).where(
            PanelRow.organisation_id == unit.viewer.organisation_id,
            PanelRow.under_way.is_not(None),
        )
    ).all()


def items(unit: Unit, panel_id: str) -> Sequence[PanelItemRow]:
    """A panel's items, in order."""
    return unit.session.scalars(
        select(PanelItemRow)
        .where(PanelItemRow.panel_id == panel_id)
        .order_by(PanelItemRow.position)
    ).all()


def item(unit: Unit, panel_id: str, position: int) -> PanelItemRow:
    """One item of a panel. Raises NotFound."""
    return unit.one(PanelItemRow, (panel_id, position))


def ratings(unit: Unit, panel_id: str) -> Sequence[Found]:
    """Ratings of a panel: round, rater_id, position, of_ten."""
    asked = (PanelRatingRow.round, PanelRatingRow.rater_id, PanelRatingRow.position)
    return unit.session.execute(
        select(*asked, PanelRatingRow.of_ten)
        .where(PanelRatingRow.panel_id == panel_id)
        .order_by(*asked)
    ).all()


def rate(unit: Unit, values: dict[str, Any]) -> None:
    """Keep a rating in place of the same rater's earlier one."""
    statement = inserting(unit, PanelRatingRow).values(values)
    unit.session.execute(
        statement.on_conflict_do_update(
            index_elements=["panel_id", "round", "rater_id", "position"],
            set_={"of_ten": values["of_ten"], "rated_at": values["rated_at"]},
        )
    )


def counted(unit: Unit, families: Sequence[str], since: datetime) -> dict[str, tuple[int, int]]:
    """How the organisation's people did in practice since a day: family -> (answered, right)."""
    right = func.sum(case((ResponseRow.right, 1), else_=0))
    rows = unit.session.execute(
        select(ResponseRow.family, func.count(), right)
        .where(
            ResponseRow.organisation_id == unit.viewer.organisation_id,
            ResponseRow.answered_at >= since,
            ResponseRow.family.in_(families),
        )
        .group_by(ResponseRow.family)
    )
    return {family: (int(answered), int(good)) for family, answered, good in rows}


def adopt(unit: Unit, values: dict[str, Any], now: datetime) -> None:
    """Keep a standard and end the one before it."""
    unit.session.execute(
        update(StandardRow)
        .where(StandardRow.in_force == here(unit, values["method"]))
        .values(in_force=None, ended_at=now)
    )
    unit.session.add(StandardRow(**values))
    unit.session.flush()


def in_force(unit: Unit, method: str) -> StandardRow | None:
    """The standard that holds for a method in the viewer's organisation, or None."""
    return unit.session.scalar(
        select(StandardRow).where(StandardRow.in_force == here(unit, method))
    )


def all_in_force(unit: Unit) -> Sequence[StandardRow]:
    """Every standard that holds in the viewer's organisation."""
    return unit.session.scalars(
        select(StandardRow).where(
            StandardRow.organisation_id == unit.viewer.organisation_id,
            StandardRow.in_force.is_not(None),
        )
    ).all()


def history(unit: Unit, method: str, most: int) -> Sequence[StandardRow]:
    """The standards of a method in the viewer's organisation, latest first."""
    return unit.session.scalars(
        select(StandardRow)
        .where(
            StandardRow.organisation_id == unit.viewer.organisation_id,
            StandardRow.method == method,
        )
        .order_by(StandardRow.adopted_at.desc())
        .limit(most)
    ).all()


def recent_sittings(unit: Unit, method: str, most: int) -> Sequence[Found]:
    """The latest finished sittings of a method in the viewer's organisation: score, most,
    outcome."""
    return unit.session.execute(
        select(SittingRow.score, SittingRow.most, SittingRow.outcome)
        .where(
            SittingRow.organisation_id == unit.viewer.organisation_id,
            SittingRow.method == method,
            SittingRow.state == DONE,
        )
        .order_by(SittingRow.finished_at.desc())
        .limit(most)
    ).all()
