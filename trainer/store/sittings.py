"""Sittings of assessments: their form as it was shown, every answer as it arrived."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, ForeignKey, Index, false, insert, select, true, update
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.people import PersonRow
from trainer.store.statements import Found, inserting
from trainer.store.unit import Unit

MAIN, CONFIRM, DONE = "main", "confirm", "done"
SET_ASIDE, NO_WAIT = "set_aside", "no_wait"
"""Members of an outcome with the reason: it does not count; the next may be sat without a wait."""


class SittingRow(Base):
    """One person taking one assessment.

    `state`: main, confirm (fresh items after critical errors), done. `unfinished` is
    'person:method' until it is done, so that nobody has two open. `most` items, raw `cut`.
    `opened_by`: the instructor who let them sit; `counts`: it may earn a record. `pauses` of
    `pause_minutes` each, `pauses_taken` so far; `paused_at` while the clock stands still. `place`:
    the position that was looked at last.
    """

    __tablename__ = "sittings"
    __table_args__ = (
        Index("ix_sittings_person_id_method_finished_at", "person_id", "method", "finished_at"),
        Index("ix_sittings_organisation_id_finished_at", "organisation_id", "finished_at"),
        Index(
            "ix_sittings_organisation_id_method_opened_at",
            "organisation_id",
            "method",
            "opened_at",
        ),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    blueprint: Mapped[str]
    state: Mapped[str]
    unfinished: Mapped[str | None] = mapped_column(unique=True)
    opened_at: Mapped[datetime]
    closes_at: Mapped[datetime]
    minutes: Mapped[int]
    finished_at: Mapped[datetime | None]
    bank_version: Mapped[str]
    fingerprint: Mapped[str]
    most: Mapped[int]
    cut: Mapped[int]
    score: Mapped[int | None]
    confidence: Mapped[float | None]
    passed: Mapped[bool | None]
    outcome: Mapped[dict[str, Any]]
    opened_by: Mapped[str | None] = mapped_column(Id)
    counts: Mapped[bool] = mapped_column(default=True, server_default=true())
    pauses: Mapped[int] = mapped_column(default=0, server_default="0")
    pause_minutes: Mapped[int] = mapped_column(default=0, server_default="0")
    pauses_taken: Mapped[int] = mapped_column(default=0, server_default="0")
    paused_at: Mapped[datetime | None]
    larger_type: Mapped[bool] = mapped_column(default=False, server_default=false())
    place: Mapped[int | None]


class SittingItemRow(Base):
    """One item of a sitting as it was shown, and the answer as it stands.

    `difficulty`: {a, b, b_sd} that the form went by, None where only features were known.
    `withdrawn`: it was found faulty later, and counts no more.
    """

    __tablename__ = "sitting_items"
    sitting_id: Mapped[str] = mapped_column(ForeignKey("sittings.id"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True)
    phase: Mapped[str]
    family: Mapped[str]
    kept: Mapped[dict[str, Any]]
    answer: Mapped[Any] = mapped_column(JSON(none_as_null=True), nullable=True)
    saved_at: Mapped[datetime | None]
    flagged: Mapped[bool]
    difficulty: Mapped[Any] = mapped_column(JSON(none_as_null=True), nullable=True)
    withdrawn: Mapped[bool] = mapped_column(default=False, server_default=false())


class SittingSaveRow(Base):
    """One save as it arrived: the same one twice changes nothing."""

    __tablename__ = "sitting_saves"
    sitting_id: Mapped[str] = mapped_column(ForeignKey("sittings.id"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True)
    submission_id: Mapped[str] = mapped_column(primary_key=True)
    answer: Mapped[Any] = mapped_column(JSON)
    saved_at: Mapped[datetime]


class TimeAllowanceRow(Base):
    """What an organisation makes easier for a person; `percent` more than the usual time."""

    __tablename__ = "time_allowances"
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), primary_key=True)
    percent: Mapped[int]
    pauses: Mapped[int] = mapped_column(default=0, server_default="0")
    pause_minutes: Mapped[int] = mapped_column(default=0, server_default="0")
    larger_type: Mapped[bool] = mapped_column(default=False, server_default=false())
    set_by: Mapped[str] = mapped_column(Id)
    set_at: Mapped[datetime]


def open_once(unit: Unit, values: dict[str, Any], items: Sequence[dict[str, Any]]) -> str:
    """Keep a new sitting with its items; gives the id of the unfinished one if there is one."""
    statement = inserting(unit, SittingRow).values(values).on_conflict_do_nothing()
    if unit.session.execute(statement.returning(SittingRow.id)).first() is None:
        there = unfinished(unit, values["person_id"], values["method"])
        if there is None:
            raise NotFound
        return there.id
    add_items(unit, items)
    return str(values["id"])


def add_items(unit: Unit, items: Sequence[dict[str, Any]]) -> None:
    """Keep items of a sitting."""
    if items:
        unit.session.execute(insert(SittingItemRow), list(items))


def own(unit: Unit, sitting_id: str, to_change: bool = False) -> SittingRow:
    """A sitting of the viewer. Raises NotFound for anybody else's."""
    chosen = select(SittingRow).where(
        SittingRow.id == sitting_id, SittingRow.person_id == unit.viewer.person_id
    )
    row = unit.session.scalar(chosen.with_for_update() if to_change else chosen)
    if row is None:
        raise NotFound
    return row


def in_place(unit: Unit, sitting_id: str) -> SittingRow:
    """A sitting of the viewer's organisation. Raises NotFound."""
    return unit.ours(SittingRow, sitting_id)


def unfinished(unit: Unit, person_id: str, method: str) -> SittingRow | None:
    """The sitting a person has not finished for a method, or None."""
    return unit.session.scalar(
        select(SittingRow).where(SittingRow.unfinished == f"{person_id}:{method}")
    )


def open_of(unit: Unit, person_id: str) -> Sequence[SittingRow]:
    """Every sitting that a person has not finished."""
    return unit.session.scalars(
        select(SittingRow).where(
            SittingRow.person_id == person_id, SittingRow.unfinished.is_not(None)
        )
    ).all()


def of_person(unit: Unit, person_id: str, count: int) -> Sequence[SittingRow]:
    """A person's latest sittings, newest first."""
    return unit.session.scalars(
        select(SittingRow)
        .where(SittingRow.person_id == person_id)
        .order_by(SittingRow.opened_at.desc())
        .limit(count)
    ).all()


def latest(unit: Unit, person_id: str, method: str) -> SittingRow | None:
    """The sitting a person finished last for a method, or None."""
    return unit.session.scalar(
        select(SittingRow)
        .where(
            SittingRow.person_id == person_id,
            SittingRow.method == method,
            SittingRow.finished_at.is_not(None),
        )
        .order_by(SittingRow.finished_at.desc())
        .limit(1)
    )


def decided(unit: Unit, person_ids: Sequence[str]) -> Sequence[SittingRow]:
    """Sittings of these people that the viewer's organisation has decided, newest first."""
    return unit.session.scalars(
        select(SittingRow)
        .where(
            SittingRow.organisation_id == unit.viewer.organisation_id,
            SittingRow.person_id.in_(list(person_ids)),
            SittingRow.passed.is_not(None),
        )
        .order_by(SittingRow.finished_at.desc())
    ).all()


def passed(unit: Unit, person_id: str, method: str) -> SittingRow | None:
    """The latest sitting that counts and that a person passed for a method, or None."""
    return unit.session.scalar(
        select(SittingRow)
        .where(
            SittingRow.person_id == person_id,
            SittingRow.method == method,
            SittingRow.passed.is_(True),
            SittingRow.counts.is_(True),
        )
        .order_by(SittingRow.finished_at.desc())
        .limit(1)
    )


def item(unit: Unit, sitting_id: str, position: int) -> Found:
    """One item of a sitting of the viewer, with the sitting's state. Raises NotFound."""
    row = unit.session.execute(
        select(
            SittingItemRow.phase,
            SittingItemRow.kept,
            SittingItemRow.answer,
            SittingItemRow.flagged,
            SittingItemRow.saved_at,
            SittingRow.state,
            SittingRow.closes_at,
            SittingRow.pauses,
            SittingRow.pause_minutes,
            SittingRow.pauses_taken,
            SittingRow.paused_at,
        )
        .join(SittingRow, SittingRow.id == SittingItemRow.sitting_id)
        .where(
            SittingItemRow.sitting_id == sitting_id,
            SittingItemRow.position == position,
            SittingRow.person_id == unit.viewer.person_id,
        )
    ).first()
    if row is None:
        raise NotFound
    return row


def places(unit: Unit, sitting_id: str, phase: str) -> Sequence[Found]:
    """The map of a phase: position, saved_at, flagged, in order. Not the items themselves."""
    return unit.session.execute(
        select(SittingItemRow.position, SittingItemRow.saved_at, SittingItemRow.flagged)
        .where(SittingItemRow.sitting_id == sitting_id, SittingItemRow.phase == phase)
        .order_by(SittingItemRow.position)
    ).all()


def open_since_before(unit: Unit, moment: datetime, most: int = 50) -> Sequence[Found]:
    """Sittings of the viewer's organisation that were opened by a moment and are not finished.

    id, person_id, name, method, opened_at, bank_version; the oldest first.
    """
    return unit.session.execute(
        select(
            SittingRow.id,
            SittingRow.person_id,
            PersonRow.name,
            SittingRow.method,
            SittingRow.opened_at,
            SittingRow.bank_version,
        )
        .join(PersonRow, PersonRow.id == SittingRow.person_id)
        .where(
            SittingRow.organisation_id == unit.viewer.organisation_id,
            SittingRow.finished_at.is_(None),
            SittingRow.opened_at <= moment,
        )
        .order_by(SittingRow.opened_at, SittingRow.id)
        .limit(most)
    ).all()


def kept_of(unit: Unit, sitting_id: str) -> Sequence[dict[str, Any]]:
    """The questions of a sitting as they were shown."""
    chosen = select(SittingItemRow.kept).where(SittingItemRow.sitting_id == sitting_id)
    return unit.session.scalars(chosen).all()


def items(unit: Unit, sitting_id: str) -> Sequence[Found]:
    """Every item of a sitting with its answer, in order: for marking and review."""
    return unit.session.execute(
        select(
            SittingItemRow.position,
            SittingItemRow.phase,
            SittingItemRow.family,
            SittingItemRow.kept,
            SittingItemRow.answer,
            SittingItemRow.difficulty,
            SittingItemRow.withdrawn,
        )
        .where(SittingItemRow.sitting_id == sitting_id)
        .order_by(SittingItemRow.position)
    ).all()


def hold(unit: Unit, sitting_id: str) -> None:
    """Keep a sitting from being finished until the unit ends; saves do not hinder each other."""
    unit.session.execute(
        select(SittingRow.id).where(SittingRow.id == sitting_id).with_for_update(read=True)
    )


def save(
    unit: Unit, sitting_id: str, position: int, submission_id: str, answer: Any, now: datetime
) -> bool:
    """Keep an answer in place of the one before; False when this very save was kept already."""
    values = {
        "sitting_id": sitting_id,
        "position": position,
        "submission_id": submission_id,
        "answer": answer,
        "saved_at": now,
    }
    arrived = inserting(unit, SittingSaveRow).values(values).on_conflict_do_nothing()
    if unit.session.execute(arrived.returning(SittingSaveRow.position)).first() is None:
        return False
    unit.session.execute(
        update(SittingItemRow)
        .where(SittingItemRow.sitting_id == sitting_id, SittingItemRow.position == position)
        .values(answer=answer, saved_at=now)
    )
    return True


def flag(unit: Unit, sitting_id: str, position: int, flagged: bool) -> None:
    """Mark an item to come back to, or take the mark away."""
    unit.session.execute(
        update(SittingItemRow)
        .where(SittingItemRow.sitting_id == sitting_id, SittingItemRow.position == position)
        .values(flagged=flagged)
    )


def look_at(unit: Unit, sitting_id: str, position: int) -> None:
    """Remember which item of a sitting was looked at last."""
    unit.session.execute(
        update(SittingRow).where(SittingRow.id == sitting_id).values(place=position)
    )


def openers_of(unit: Unit, person_id: str, method: str) -> frozenset[str]:
    """Everybody who has opened a sitting of a person with a method."""
    found = unit.session.scalars(
        select(SittingRow.opened_by).where(
            SittingRow.person_id == person_id,
            SittingRow.method == method,
            SittingRow.opened_by.is_not(None),
        )
    )
    return frozenset(one for one in found if one)


def allowance(unit: Unit, person_id: str) -> TimeAllowanceRow | None:
    """What the viewer's organisation makes easier for a person, or None."""
    return unit.session.get(TimeAllowanceRow, (person_id, unit.viewer.organisation_id))


def allow(unit: Unit, person_id: str, now: datetime, granted: Mapping[str, Any]) -> None:
    """Grant it in the viewer's organisation, in place of what was granted before."""
    unit.session.merge(
        TimeAllowanceRow(
            person_id=person_id,
            organisation_id=unit.viewer.organisation_id,
            set_by=unit.viewer.person_id,
            set_at=now,
            **granted,
        )
    )


def kept_item(unit: Unit, sitting_id: str, position: int) -> dict[str, Any]:
    """A question of a sitting as it is kept, for whoever may see that sitting. Raises NotFound."""
    kept = unit.session.scalar(
        select(SittingItemRow.kept).where(
            SittingItemRow.sitting_id == sitting_id, SittingItemRow.position == position
        )
    )
    if kept is None:
        raise NotFound
    return dict(kept)
