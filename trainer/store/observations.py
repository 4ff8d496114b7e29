"""Work watched at the chair and signed: a sheet is kept as it was signed."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import ColumnElement, ForeignKey, Index, Text, false, select
from sqlalchemy.orm import Mapped, aliased, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.statements import inserting
from trainer.store.unit import Unit


class ObservationRow(Base):
    """One service of one person, watched by another.

    `ticks`: criterion id -> {text, critical, met}, in the sheet's order. `asks_second`: it counts
    only once a second observer's sheet of the same work is met too; that sheet names this one as
    `second_of`. `next_step`: what to do next, where it was not met. `set_aside_at`: it counts for
    nothing since then, and `set_aside_why`; both sheets of a work are set aside together.
    `seen_at`: when its person first looked at it.
    """

    __tablename__ = "observations"
    __table_args__ = (
        Index("ix_observations_person_id_method_observed_at", "person_id", "method", "observed_at"),
        Index("ix_observations_organisation_id_signed_at", "organisation_id", "signed_at"),
        Index("ix_observations_second_of", "second_of", unique=True),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    submission_id: Mapped[str] = mapped_column(unique=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    observer_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    service: Mapped[str]
    observed_at: Mapped[datetime]
    signed_at: Mapped[datetime]
    ticks: Mapped[dict[str, Any]]
    notes: Mapped[str] = mapped_column(Text)
    met: Mapped[bool]
    bank_version: Mapped[str]
    next_step: Mapped[str] = mapped_column(Text, default="", server_default="")
    asks_second: Mapped[bool] = mapped_column(default=False, server_default=false())
    second_of: Mapped[str | None] = mapped_column(Id)
    set_aside_at: Mapped[datetime | None]
    set_aside_why: Mapped[str] = mapped_column(Text, default="", server_default="")
    seen_at: Mapped[datetime | None]


@dataclass(frozen=True, slots=True)
class Watching:
    """Work that was watched: the first sheet, and the second observer's where there is one."""

    first: ObservationRow
    second: ObservationRow | None

    @property
    def set_aside(self) -> bool:
        """Whether an appeal has set it aside: it is to be watched again by somebody else."""
        return self.first.set_aside_at is not None

    @property
    def observers(self) -> frozenset[str]:
        """Who watched it."""
        return frozenset(one.observer_id for one in (self.first, self.second) if one is not None)

    @property
    def sheets(self) -> tuple[str, ...]:
        """The ids of its sheets."""
        return (self.first.id,) if self.second is None else (self.first.id, self.second.id)

    @property
    def waits(self) -> bool:
        """Whether a second observer's sheet is still to come."""
        return self.first.asks_second and self.second is None

    @property
    def signed_at(self) -> datetime:
        """When its last sheet was signed."""
        return (self.second or self.first).signed_at

    @property
    def said_met(self) -> bool:
        """Whether its sheets say so: both observers' where two are asked for."""
        both = not self.first.asks_second or (self.second is not None and self.second.met)
        return self.first.met and both

    @property
    def met(self) -> bool:
        """Whether the service is signed off by it."""
        return self.said_met and not self.set_aside


def keep_once(unit: Unit, values: dict[str, Any]) -> tuple[ObservationRow, bool]:
    """Keep an observation: (it, True), or (the one kept for that submission, False)."""
    statement = inserting(unit, ObservationRow).values(values).on_conflict_do_nothing()
    is_new = unit.session.execute(statement.returning(ObservationRow.id)).first() is not None
    row = of_submission(unit, values["submission_id"])
    if row is None:
        raise NotFound
    return row, is_new


def of_submission(unit: Unit, submission_id: str) -> ObservationRow | None:
    """The sheet kept for a submission, if it is. Raises NotFound for another organisation's."""
    row = unit.session.scalar(
        select(ObservationRow).where(ObservationRow.submission_id == submission_id)
    )
    if row is not None:
        unit.viewer.must_see(row.organisation_id)
    return row


def observation(unit: Unit, observation_id: str) -> ObservationRow:
    """An observation made in the viewer's organisation, or of the viewer. Raises NotFound."""
    row = unit.one(ObservationRow, observation_id)
    if row.person_id != unit.viewer.person_id:
        unit.viewer.must_see(row.organisation_id)
    return row


def latest_watching(unit: Unit, person_id: str, method: str) -> dict[str, Watching]:
    """Service -> the latest work that was watched, whatever came of it.

    The latest counts: work that was not met when last watched is not signed off.
    """
    return {one.first.service: one for one in watchings(unit, person_id, method)}


def watchings(unit: Unit, person_id: str, method: str) -> list[Watching]:
    """All work of a person with a method that was watched, oldest first."""
    return _works(unit, (ObservationRow.person_id == person_id) & (ObservationRow.method == method))


def watchings_of_each(unit: Unit, person_ids: Collection[str]) -> list[Watching]:
    """All work of some people that was watched, with any method, oldest first."""
    return _works(unit, ObservationRow.person_id.in_(person_ids))


def unseen(unit: Unit) -> list[Watching]:
    """The viewer's own work of which they have not seen the last sheet, oldest first."""
    mine = ObservationRow.person_id == unit.viewer.person_id
    found = unit.session.scalars(
        select(ObservationRow.method).where(mine, ObservationRow.seen_at.is_(None)).distinct()
    ).all()
    works = _works(unit, mine & ObservationRow.method.in_(found)) if found else []
    return [one for one in works if (one.second or one.first).seen_at is None]


def _works(unit: Unit, chosen: ColumnElement[bool]) -> list[Watching]:
    """Work by its sheets, all of which are chosen."""
    oldest = (ObservationRow.observed_at, ObservationRow.signed_at, ObservationRow.id)
    rows = unit.session.scalars(select(ObservationRow).where(chosen).order_by(*oldest)).all()
    seconds = {row.second_of: row for row in rows if row.second_of}
    return [Watching(row, seconds.get(row.id)) for row in rows if not row.second_of]


def watching_of(unit: Unit, observation_id: str) -> Watching:
    """The work that a sheet is about: given by its first or its second sheet. Raises NotFound."""
    row = observation(unit, observation_id)
    first = observation(unit, row.second_of) if row.second_of else row
    return Watching(first, second_of(unit, first.id))


def second_of(unit: Unit, first_id: str) -> ObservationRow | None:
    """The second observer's sheet of the same work, if it has come."""
    return unit.session.scalar(select(ObservationRow).where(ObservationRow.second_of == first_id))


def awaiting_second(unit: Unit, most: int) -> Sequence[ObservationRow]:
    """First sheets of the viewer's organisation whose second is still to come, oldest first."""
    other = aliased(ObservationRow)
    return unit.session.scalars(
        select(ObservationRow)
        .outerjoin(other, other.second_of == ObservationRow.id)
        .where(
            ObservationRow.organisation_id == unit.viewer.organisation_id,
            ObservationRow.asks_second,
            other.id.is_(None),
        )
        .order_by(ObservationRow.signed_at, ObservationRow.id)
        .limit(most)
    ).all()


def to_watch_again(unit: Unit, most: int) -> Sequence[ObservationRow]:
    """First sheets of the viewer's organisation, set aside and not followed, longest first."""
    later = aliased(ObservationRow)
    followed = (
        select(later.id)
        .where(
            later.person_id == ObservationRow.person_id,
            later.method == ObservationRow.method,
            later.service == ObservationRow.service,
            later.second_of.is_(None),
            later.signed_at > ObservationRow.signed_at,
        )
        .exists()
    )
    return unit.session.scalars(
        select(ObservationRow)
        .where(
            ObservationRow.organisation_id == unit.viewer.organisation_id,
            ObservationRow.set_aside_at.is_not(None),
            ObservationRow.second_of.is_(None),
            ~followed,
        )
        .order_by(ObservationRow.set_aside_at, ObservationRow.id)
        .limit(most)
    ).all()


def pairs(unit: Unit) -> Sequence[tuple[ObservationRow, ObservationRow]]:
    """Every work of the viewer's organisation with two sheets: (first, second)."""
    other = aliased(ObservationRow)
    rows = unit.session.execute(
        select(ObservationRow, other)
        .join(other, other.second_of == ObservationRow.id)
        .where(ObservationRow.organisation_id == unit.viewer.organisation_id)
        .order_by(ObservationRow.signed_at, ObservationRow.id)
    )
    return [(row[0], row[1]) for row in rows]


def second_sign_offs(unit: Unit, person_id: str, method: str) -> dict[str, date]:
    """Service -> the day on which a second, different observer had signed it off."""
    rows = unit.session.execute(
        select(ObservationRow.service, ObservationRow.observer_id, ObservationRow.observed_at)
        .where(
            ObservationRow.person_id == person_id,
            ObservationRow.method == method,
            ObservationRow.met,
            ObservationRow.set_aside_at.is_(None),
        )
        .order_by(ObservationRow.observed_at)
    )
    first: dict[str, str] = {}
    second: dict[str, date] = {}
    for service, observer, at in rows:
        if first.setdefault(service, observer) != observer:
            second.setdefault(service, at.date())
    return second


def observers_of(unit: Unit, person_id: str, method: str) -> frozenset[str]:
    """Everybody who has signed a sheet of a person's work with a method."""
    return frozenset(
        unit.session.scalars(
            select(ObservationRow.observer_id).where(
                ObservationRow.person_id == person_id, ObservationRow.method == method
            )
        )
    )


def methods_of(unit: Unit, person_id: str) -> Sequence[str]:
    """The methods that a person was watched with, in order of their ids."""
    found = select(ObservationRow.method).where(ObservationRow.person_id == person_id).distinct()
    return unit.session.scalars(found.order_by(ObservationRow.method)).all()


def of_person(unit: Unit, person_id: str, most: int) -> Sequence[ObservationRow]:
    """The latest observations of a person in the viewer's organisation, newest first."""
    ours = ObservationRow.organisation_id == unit.viewer.organisation_id
    return _newest(unit, ours & (ObservationRow.person_id == person_id), most)


def latest(unit: Unit, most: int) -> Sequence[ObservationRow]:
    """What was signed last in the viewer's organisation, newest first."""
    return unit.session.scalars(
        select(ObservationRow)
        .where(ObservationRow.organisation_id == unit.viewer.organisation_id)
        .order_by(ObservationRow.signed_at.desc(), ObservationRow.id.desc())
        .limit(most)
    ).all()


def about(unit: Unit, person_id: str, most: int) -> Sequence[ObservationRow]:
    """The latest observations of a person, whoever made them, newest first: for that person."""
    return _newest(unit, ObservationRow.person_id == person_id, most)


def _newest(unit: Unit, chosen: ColumnElement[bool], most: int) -> Sequence[ObservationRow]:
    newest = (ObservationRow.observed_at, ObservationRow.signed_at, ObservationRow.id)
    return unit.session.scalars(
        select(ObservationRow).where(chosen).order_by(*(one.desc() for one in newest)).limit(most)
    ).all()
