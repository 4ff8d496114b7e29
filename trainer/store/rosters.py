"""What rosters from outside have said: their ids beside our people, and files waiting for a yes."""

from base64 import b64decode, b64encode
from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, Text, UniqueConstraint, delete, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.people import GroupMemberRow, GroupRow
from trainer.store.unit import Unit

PERSON, ROLE, GROUP, PLACE, ORG = "person", "role", "group", "place", "org"


class RosterLinkRow(Base):
    """One row of a roster as it was last said to an organisation.

    `kind` person: `said` is the name, `is_open` whether they may sign in, `email` kept only until
    there is an account. role: `said` is our role, `owner` the roster's id of the person. place:
    the same with a group's id. group: `said` is its name. org: the id alone.
    """

    __tablename__ = "roster_links"
    __table_args__ = (UniqueConstraint("organisation_id", "kind", "source_id"),)
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    kind: Mapped[str]
    source_id: Mapped[str]
    person_id: Mapped[str | None] = mapped_column(ForeignKey("persons.id"), index=True)
    owner: Mapped[str] = mapped_column(default="")
    said: Mapped[str] = mapped_column(default="")
    email: Mapped[str] = mapped_column(default="")
    is_open: Mapped[bool]


class RosterDraftRow(Base):
    """A file that was looked at and waits for a yes, in base64. Gone once taken."""

    __tablename__ = "roster_drafts"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), index=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    made_at: Mapped[datetime]
    content: Mapped[str] = mapped_column(Text)


def links(unit: Unit, organisation_id: str) -> Sequence[RosterLinkRow]:
    """Every row that rosters have said to an organisation."""
    return unit.session.scalars(
        select(RosterLinkRow).where(RosterLinkRow.organisation_id == organisation_id)
    ).all()


def put_links(unit: Unit, organisation_id: str, rows: Sequence[RosterLinkRow]) -> None:
    """Put these rows in place of what an organisation's rosters had said."""
    unit.session.execute(
        delete(RosterLinkRow).where(RosterLinkRow.organisation_id == organisation_id)
    )
    unit.session.add_all(rows)
    unit.session.flush()


def keep_draft(unit: Unit, content: bytes, now: datetime) -> str:
    """Keep a file of the viewer until it is taken, in place of those of before; gives its id."""
    drop_drafts(unit)
    row = RosterDraftRow(
        organisation_id=unit.viewer.organisation_id,
        person_id=unit.viewer.person_id,
        made_at=now,
        content=b64encode(content).decode(),
    )
    unit.session.add(row)
    unit.session.flush()
    return row.id


def draft(unit: Unit, draft_id: str) -> bytes:
    """A file that the viewer has sent for this organisation. Raises NotFound."""
    row = unit.ours(RosterDraftRow, draft_id)
    if row.person_id != unit.viewer.person_id:
        raise NotFound
    return b64decode(row.content)


def drop_drafts(unit: Unit) -> None:
    """Forget every file that waits in the viewer's organisation."""
    unit.session.execute(
        delete(RosterDraftRow).where(RosterDraftRow.organisation_id == unit.viewer.organisation_id)
    )


def places(unit: Unit, organisation_id: str) -> Sequence[tuple[str, str]]:
    """(group, person) of every group of an organisation."""
    rows = unit.session.execute(
        select(GroupMemberRow.group_id, GroupMemberRow.person_id)
        .join(GroupRow, GroupRow.id == GroupMemberRow.group_id)
        .where(GroupRow.organisation_id == organisation_id)
        .order_by(GroupMemberRow.group_id, GroupMemberRow.person_id)
    )
    return [(row[0], row[1]) for row in rows]


def add_place(unit: Unit, group_id: str, person_id: str) -> None:
    """Put a person into a group."""
    unit.session.add(GroupMemberRow(group_id=group_id, person_id=person_id))


def end_place(unit: Unit, group_id: str, person_id: str) -> None:
    """Take a person out of a group."""
    unit.session.execute(
        delete(GroupMemberRow).where(
            GroupMemberRow.group_id == group_id, GroupMemberRow.person_id == person_id
        )
    )
