"""Persons, organisations, who belongs where, groups, one-use links, failed sign-ins."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime

from sqlalchemy import (
    Connection,
    ForeignKey,
    Index,
    Select,
    UniqueConstraint,
    delete,
    event,
    false,
    func,
    inspect,
    select,
    true,
    update,
)
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.statements import inserting
from trainer.store.unit import Role, Unit

PORTION = 500


class PersonRow(Base):
    """A person. `visit` is raised to end every open visit (new password, disabled).

    `spelling`: 'british', 'american', or '' where the organisation's holds.
    """

    __tablename__ = "persons"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    name: Mapped[str]
    email: Mapped[str] = mapped_column(unique=True)
    password_hash: Mapped[str] = mapped_column(default="")
    visit: Mapped[int] = mapped_column(default=0)
    created_at: Mapped[datetime]
    disabled_at: Mapped[datetime | None]
    spelling: Mapped[str] = mapped_column(default="", server_default="")


class OrganisationRow(Base):
    """An academy, a salon, or both. `second_observer`: watched work counts with two sheets only.

    `invigilated`: an instructor opens every assessment; else none sat here counts for a record.
    """

    __tablename__ = "organisations"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    name: Mapped[str]
    kind: Mapped[str]
    created_at: Mapped[datetime]
    spelling: Mapped[str] = mapped_column(default="british", server_default="british")
    second_observer: Mapped[bool] = mapped_column(default=False, server_default=false())
    invigilated: Mapped[bool] = mapped_column(default=True, server_default=true())


class MembershipRow(Base):
    """A person in an organisation, with roles.

    `called`: the person's name again, so that a house is read in the order of names however large
    it is. It is kept by the session; a statement that goes past the session keeps it itself.
    """

    __tablename__ = "memberships"
    __table_args__ = (
        UniqueConstraint("person_id", "organisation_id"),
        Index("ix_memberships_in_order", "organisation_id", "called", "person_id"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    roles: Mapped[list[str]]
    since: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    called: Mapped[str] = mapped_column(server_default="")


class GroupRow(Base):
    """A named group of an organisation's people."""

    __tablename__ = "groups"
    __table_args__ = (UniqueConstraint("organisation_id", "name"),)
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    name: Mapped[str]


class GroupMemberRow(Base):
    """A person in a group."""

    __tablename__ = "group_members"
    group_id: Mapped[str] = mapped_column(ForeignKey("groups.id"), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True, index=True)


class OneUseLinkRow(Base):
    """A link that lets its holder set a password once. Only the token's hash is kept."""

    __tablename__ = "one_use_links"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    token_hash: Mapped[str] = mapped_column(unique=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), index=True)
    kind: Mapped[str]
    expires_at: Mapped[datetime]
    used_at: Mapped[datetime | None]


class SignInFailureRow(Base):
    """A failed sign-in, by what was tried and from where, both hashed."""

    __tablename__ = "sign_in_failures"
    __table_args__ = (Index("ix_failures_who_at", "who", "at"),)
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    who: Mapped[str]
    at: Mapped[datetime]


PERSONS, PLACES = PersonRow.__table__, OrganisationRow.__table__
MEMBERSHIPS = MembershipRow.__table__


@event.listens_for(MembershipRow, "before_insert")
def _call(_mapper: object, connection: Connection, row: MembershipRow) -> None:
    named = select(PERSONS.c.name).where(PERSONS.c.id == row.person_id)
    row.called = connection.execute(named).scalar_one()


@event.listens_for(PersonRow, "after_update")
def _call_again(_mapper: object, connection: Connection, row: PersonRow) -> None:
    if inspect(row).attrs.name.history.has_changes():
        theirs = update(MembershipRow).where(MembershipRow.person_id == row.id)
        connection.execute(theirs.values(called=row.name))


def person(unit: Unit, person_id: str) -> PersonRow:
    """A person by id. Raises NotFound."""
    return unit.one(PersonRow, person_id)


def by_email(unit: Unit, email: str) -> PersonRow | None:
    """A person by e-mail address, whatever its case."""
    return unit.session.scalar(select(PersonRow).where(PersonRow.email == email.casefold()))


def keep_once(unit: Unit, name: str, email: str, now: datetime) -> PersonRow:
    """A new person, or whoever has the address (written small), though they came just now."""
    values = {"name": name, "email": email, "created_at": now}
    unit.session.execute(inserting(unit, PersonRow).values(values).on_conflict_do_nothing())
    return unit.session.scalars(select(PersonRow).where(PersonRow.email == email)).one()


def named(unit: Unit, ids: Collection[str], emails: Collection[str]) -> Sequence[PersonRow]:
    """Everybody with one of these ids or addresses (written small)."""
    found: dict[str, PersonRow] = {}
    for column, wanted in ((PersonRow.id, ids), (PersonRow.email, emails)):
        for some in portions(sorted(set(wanted))):
            rows = unit.session.scalars(select(PersonRow).where(column.in_(some)))
            found |= {row.id: row for row in rows}
    return list(found.values())


def addresses_here(unit: Unit, emails: Collection[str]) -> frozenset[str]:
    """Those of some addresses (written small) whose people belong to the viewer's organisation."""
    found: set[str] = set()
    for some in portions(sorted(set(emails))):
        ours = PersonRow.id.in_(our_people(unit))
        found |= set(
            unit.session.scalars(select(PersonRow.email).where(PersonRow.email.in_(some), ours))
        )
    return frozenset(found)


def portions(values: Sequence[str]) -> list[Sequence[str]]:
    """A statement takes only so many values."""
    return [values[start : start + PORTION] for start in range(0, len(values), PORTION)]


def memberships_of(unit: Unit, person_id: str) -> Sequence[tuple[MembershipRow, OrganisationRow]]:
    """Where a person belongs today, by the organisation's name."""
    rows = unit.session.execute(
        select(MembershipRow, OrganisationRow)
        .join(OrganisationRow, OrganisationRow.id == MembershipRow.organisation_id)
        .where(MembershipRow.person_id == person_id, MembershipRow.ended_at.is_(None))
        .order_by(OrganisationRow.name)
    )
    return [(row[0], row[1]) for row in rows]


def organisations_of(unit: Unit, person_id: str) -> Sequence[OrganisationRow]:
    """Where a person belongs, or ever belonged, by the organisation's name."""
    return unit.session.scalars(
        select(OrganisationRow)
        .join(MembershipRow, MembershipRow.organisation_id == OrganisationRow.id)
        .where(MembershipRow.person_id == person_id)
        .order_by(OrganisationRow.name)
    ).all()


def with_role(unit: Unit, organisation_id: str, roles: Collection[Role]) -> frozenset[str]:
    """The ids of an organisation's people who have one of the roles and may sign in."""
    rows = unit.session.execute(
        select(PersonRow.id, MembershipRow.roles)
        .join(MembershipRow, MembershipRow.person_id == PersonRow.id)
        .where(
            MembershipRow.organisation_id == organisation_id,
            MembershipRow.ended_at.is_(None),
            PersonRow.disabled_at.is_(None),
        )
    )
    return frozenset(row.id for row in rows if set(row.roles) & set(roles))


def membership(unit: Unit, person_id: str, organisation_id: str) -> MembershipRow | None:
    """A person's membership of one organisation, ended or not."""
    return memberships(unit, [person_id], organisation_id).get(person_id)


def memberships(
    unit: Unit, person_ids: Collection[str], organisation_id: str
) -> Mapping[str, MembershipRow]:
    """The same for several people, by their ids; those who never belonged are not in it."""
    found: dict[str, MembershipRow] = {}
    for some in portions(sorted(person_ids)):
        rows = unit.session.scalars(
            select(MembershipRow).where(
                MembershipRow.organisation_id == organisation_id, MembershipRow.person_id.in_(some)
            )
        )
        found |= {row.person_id: row for row in rows}
    return found


def member(unit: Unit, person_id: str) -> tuple[PersonRow, MembershipRow]:
    """A member of the viewer's organisation. Raises NotFound for anybody else."""
    row = membership(unit, person_id, unit.viewer.organisation_id)
    if row is None or row.ended_at is not None:
        raise NotFound
    return person(unit, person_id), row


def members(unit: Unit, role: Role | None = None) -> list[tuple[PersonRow, MembershipRow]]:
    """The people of the viewer's organisation by name; only those with a role if one is named."""
    rows = unit.session.execute(
        select(PersonRow, MembershipRow)
        .join(MembershipRow, MembershipRow.person_id == PersonRow.id)
        .where(
            MembershipRow.organisation_id == unit.viewer.organisation_id,
            MembershipRow.ended_at.is_(None),
        )
        .order_by(PersonRow.name, PersonRow.id)
    )
    return [(row[0], row[1]) for row in rows if not role or role in row[1].roles]


def our_people(unit: Unit) -> Select[str]:
    """The ids of everybody who belongs to the viewer's organisation, for use in a query."""
    return select(MembershipRow.person_id).where(
        MembershipRow.organisation_id == unit.viewer.organisation_id,
        MembershipRow.ended_at.is_(None),
    )


def organisation(unit: Unit, organisation_id: str) -> OrganisationRow:
    """An organisation by id. Raises NotFound."""
    return unit.one(OrganisationRow, organisation_id)


def groups(unit: Unit) -> Sequence[GroupRow]:
    """The groups of the viewer's organisation by name."""
    return unit.session.scalars(
        select(GroupRow)
        .where(GroupRow.organisation_id == unit.viewer.organisation_id)
        .order_by(GroupRow.name)
    ).all()


def keep_group(unit: Unit, name: str) -> str | None:
    """Keep a new group of the viewer's organisation; gives its id, None where the name is taken."""
    values = {"organisation_id": unit.viewer.organisation_id, "name": name}
    made = inserting(unit, GroupRow).values(values).on_conflict_do_nothing()
    found: str | None = unit.session.scalar(made.returning(GroupRow.id))
    return found


def group(unit: Unit, group_id: str) -> GroupRow:
    """A group of the viewer's organisation. Raises NotFound."""
    return unit.ours(GroupRow, group_id)


def group_members(unit: Unit, group_id: str) -> Sequence[PersonRow]:
    """The people of a group by name."""
    return unit.session.scalars(
        select(PersonRow)
        .join(GroupMemberRow, GroupMemberRow.person_id == PersonRow.id)
        .where(GroupMemberRow.group_id == group_id)
        .order_by(PersonRow.name, PersonRow.id)
    ).all()


def groups_of(unit: Unit, person_id: str) -> Sequence[str]:
    """The ids of the groups that a person is in."""
    return unit.session.scalars(
        select(GroupMemberRow.group_id).where(GroupMemberRow.person_id == person_id)
    ).all()


def set_groups(unit: Unit, person_id: str, group_ids: Sequence[str]) -> None:
    """Put a person into exactly these groups of the viewer's organisation."""
    leave_groups(unit, [person_id])
    ours = [row.id for row in groups(unit)]
    wanted = [group_id for group_id in group_ids if group_id in ours]
    unit.session.add_all(GroupMemberRow(group_id=g, person_id=person_id) for g in wanted)


def join_groups(
    unit: Unit, person_id: str, organisation_id: str, group_ids: Collection[str]
) -> None:
    """Put a person into those of these groups that an organisation has."""
    kept = select(GroupRow.id).where(
        GroupRow.organisation_id == organisation_id, GroupRow.id.in_(group_ids)
    )
    for one in set(unit.session.scalars(kept)) - set(groups_of(unit, person_id)):
        unit.session.add(GroupMemberRow(group_id=one, person_id=person_id))


def leave_groups(unit: Unit, person_ids: Collection[str]) -> None:
    """Take people out of every group of the viewer's organisation."""
    ours = [row.id for row in groups(unit)]
    for some in portions(sorted(person_ids)):
        unit.session.execute(
            delete(GroupMemberRow).where(
                GroupMemberRow.person_id.in_(some), GroupMemberRow.group_id.in_(ours)
            )
        )


def link_by_hash(unit: Unit, token_hash: str) -> OneUseLinkRow | None:
    """A one-use link by its token's hash."""
    return unit.session.scalar(select(OneUseLinkRow).where(OneUseLinkRow.token_hash == token_hash))


def open_links(unit: Unit, person_id: str, now: datetime) -> Sequence[OneUseLinkRow]:
    """A person's links that still work."""
    return unit.session.scalars(
        select(OneUseLinkRow).where(
            OneUseLinkRow.person_id == person_id,
            OneUseLinkRow.used_at.is_(None),
            OneUseLinkRow.expires_at > now,
        )
    ).all()


def failures(unit: Unit, who: str, since: datetime) -> int:
    """How often a sign-in has failed since a moment."""
    return (
        unit.session.scalar(
            select(func.count())
            .select_from(SignInFailureRow)
            .where(SignInFailureRow.who == who, SignInFailureRow.at >= since)
        )
        or 0
    )


def forget_failures(unit: Unit, who: str, before: datetime | None = None) -> None:
    """Drop the failures of one who has signed in, or everybody's from before a moment."""
    if before is None:
        unit.session.execute(delete(SignInFailureRow).where(SignInFailureRow.who == who))
    else:
        unit.session.execute(delete(SignInFailureRow).where(SignInFailureRow.at < before))


def anyone(unit: Unit) -> bool:
    """Whether there is any person at all."""
    return unit.session.scalar(select(PersonRow.id).limit(1)) is not None


def all_organisations(unit: Unit) -> Sequence[OrganisationRow]:
    """Every organisation by name; for whoever runs the machine."""
    return unit.session.scalars(select(OrganisationRow).order_by(OrganisationRow.name)).all()


def all_persons(unit: Unit) -> Sequence[PersonRow]:
    """Every person by name; for whoever runs the machine."""
    return unit.session.scalars(select(PersonRow).order_by(PersonRow.name, PersonRow.id)).all()
