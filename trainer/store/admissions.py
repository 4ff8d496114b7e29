"""Who asks to sit an assessment, who opened it for them, and who agreed to the scheme."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, Index, Text, UniqueConstraint, false, func, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.people import PersonRow
from trainer.store.statements import Found, inserting
from trainer.store.unit import Unit

WAITING, OPENED, BEGUN = "waiting", "opened", "begun"
DECLINED, TAKEN_BACK, LAPSED = "declined", "taken_back", "lapsed"


class AdmissionRow(Base):
    """One person who asks to sit one assessment.

    `kind`: full or refresh. `pending` is 'person:method' while it waits or is open, so that nobody
    asks twice. `needs`: what they asked for, in their words; gone once it is settled. `identity`:
    the kind of thing that whoever opened it saw, never its number.
    """

    __tablename__ = "admissions"
    __table_args__ = (
        Index("ix_admissions_organisation_id_state", "organisation_id", "state"),
        Index("ix_admissions_person_id_method", "person_id", "method"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    kind: Mapped[str]
    state: Mapped[str]
    pending: Mapped[str | None] = mapped_column(unique=True)
    needs: Mapped[str] = mapped_column(Text, default="", server_default="")
    asked_at: Mapped[datetime]
    decided_by: Mapped[str | None] = mapped_column(Id)
    decided_at: Mapped[datetime | None]
    identity: Mapped[str] = mapped_column(default="", server_default="")
    why: Mapped[str] = mapped_column(Text, default="", server_default="")
    extra_percent: Mapped[int] = mapped_column(default=0, server_default="0")
    pauses: Mapped[int] = mapped_column(default=0, server_default="0")
    pause_minutes: Mapped[int] = mapped_column(default=0, server_default="0")
    larger_type: Mapped[bool] = mapped_column(default=False, server_default=false())
    sitting_id: Mapped[str | None] = mapped_column(Id)


class AgreementRow(Base):
    """A person signed an organisation's agreement to the scheme, in the text of `version`."""

    __tablename__ = "scheme_agreements"
    __table_args__ = (UniqueConstraint("person_id", "organisation_id", "version"),)
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    version: Mapped[str]
    signed_at: Mapped[datetime]


def pending(unit: Unit, person_id: str, method: str) -> AdmissionRow | None:
    """What a person asked for with a method and is not settled, whoever looks; or None."""
    return unit.session.scalar(
        select(AdmissionRow).where(AdmissionRow.pending == f"{person_id}:{method}")
    )


def pending_of(unit: Unit, person_id: str) -> Sequence[AdmissionRow]:
    """Everything that a person asked for and is not settled."""
    return unit.session.scalars(
        select(AdmissionRow).where(
            AdmissionRow.person_id == person_id, AdmissionRow.pending.is_not(None)
        )
    ).all()


def latest(unit: Unit, person_id: str, method: str) -> AdmissionRow | None:
    """What a person asked for last with a method, settled or not; or None."""
    return unit.session.scalar(
        select(AdmissionRow)
        .where(AdmissionRow.person_id == person_id, AdmissionRow.method == method)
        .order_by(AdmissionRow.asked_at.desc(), AdmissionRow.id.desc())
        .limit(1)
    )


def ask_once(unit: Unit, row: AdmissionRow) -> AdmissionRow:
    """Keep a new one; gives the one that is there where it was asked already."""
    values = {
        column.key: getattr(row, column.key)
        for column in AdmissionRow.__table__.columns
        if getattr(row, column.key) is not None
    }
    statement = inserting(unit, AdmissionRow).values(values | {"id": row.id or new_id()})
    unit.session.execute(statement.on_conflict_do_nothing())
    there = pending(unit, row.person_id, row.method)
    if there is None:
        raise NotFound
    return there


def one(unit: Unit, admission_id: str, to_change: bool = False) -> AdmissionRow:
    """One of the viewer's organisation. Raises NotFound."""
    return unit.ours(AdmissionRow, admission_id, to_change)


def in_place(unit: Unit, state: str, since: datetime | None = None) -> Sequence[Found]:
    """Those of the viewer's organisation in a state, oldest first: AdmissionRow, name.

    `since`: decided at that moment or later.
    """
    chosen = (
        select(AdmissionRow, PersonRow.name)
        .join(PersonRow, PersonRow.id == AdmissionRow.person_id)
        .where(
            AdmissionRow.organisation_id == unit.viewer.organisation_id,
            AdmissionRow.state == state,
        )
        .order_by(AdmissionRow.asked_at, AdmissionRow.id)
    )
    if since is not None:
        chosen = chosen.where(AdmissionRow.decided_at >= since)
    return unit.session.execute(chosen).all()


def waiting(unit: Unit) -> int:
    """How many of the viewer's organisation wait."""
    return int(
        unit.session.scalar(
            select(func.count())
            .select_from(AdmissionRow)
            .where(
                AdmissionRow.organisation_id == unit.viewer.organisation_id,
                AdmissionRow.state == WAITING,
            )
        )
        or 0
    )


def agreed(unit: Unit, person_id: str, organisation_id: str, version: str) -> AgreementRow | None:
    """The agreement that a person signed in that text, or None."""
    return unit.session.scalar(
        select(AgreementRow).where(
            AgreementRow.person_id == person_id,
            AgreementRow.organisation_id == organisation_id,
            AgreementRow.version == version,
        )
    )


def agree(unit: Unit, version: str, now: datetime) -> bool:
    """Keep that the viewer signed; False where it was kept already."""
    values = {
        "id": new_id(),
        "person_id": unit.viewer.person_id,
        "organisation_id": unit.viewer.organisation_id,
        "version": version,
        "signed_at": now,
    }
    statement = inserting(unit, AgreementRow).values(values).on_conflict_do_nothing()
    return unit.session.execute(statement.returning(AgreementRow.id)).first() is not None
