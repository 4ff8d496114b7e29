"""Answers of two groups of people, and what the site knows of people without asking.

Nothing sensitive and no name: spelling, groups, what is made easier in assessments, and which
organisation an answer was given in. What is about other organisations leaves here as counts, or
as answers whose people have no name.
"""

from collections.abc import Sequence

from sqlalchemy import ColumnElement, func, or_, select, true

from trainer.store.competencies import WHOLE, CompetencyRow
from trainer.store.people import GroupMemberRow, GroupRow, MembershipRow, OrganisationRow, PersonRow
from trainer.store.practice import ResponseRow, ShownItemRow
from trainer.store.sittings import DONE, MAIN, SittingItemRow, SittingRow, TimeAllowanceRow
from trainer.store.statements import Found
from trainer.store.unit import Unit

BEGUN = (CompetencyRow.topic == WHOLE) & (CompetencyRow.n > 0)


def ours(unit: Unit, method: str) -> Sequence[Found]:
    """Members of the viewer's organisation who have begun a method: person_id, and spelling
    (their own, else the organisation's)."""
    spelling = func.coalesce(func.nullif(PersonRow.spelling, ""), OrganisationRow.spelling)
    return unit.session.execute(
        select(PersonRow.id.label("person_id"), spelling.label("spelling"))
        .join(MembershipRow, MembershipRow.person_id == PersonRow.id)
        .join(OrganisationRow, OrganisationRow.id == MembershipRow.organisation_id)
        .join(CompetencyRow, CompetencyRow.person_id == PersonRow.id)
        .where(
            MembershipRow.organisation_id == unit.viewer.organisation_id,
            MembershipRow.ended_at.is_(None),
            CompetencyRow.method == method,
            BEGUN,
        )
    ).all()


def elsewhere(unit: Unit, method: str) -> Sequence[int]:
    """How many people have begun a method in each other organisation where anybody has."""
    counted = (
        select(func.count())
        .select_from(MembershipRow)
        .join(CompetencyRow, CompetencyRow.person_id == MembershipRow.person_id)
        .where(
            MembershipRow.organisation_id != unit.viewer.organisation_id,
            CompetencyRow.method == method,
            BEGUN,
        )
        .group_by(MembershipRow.organisation_id)
    )
    return unit.session.scalars(counted).all()


def in_groups(unit: Unit) -> Sequence[Found]:
    """Who is in which group of the viewer's organisation: group_id, person_id."""
    return unit.session.execute(
        select(GroupMemberRow.group_id, GroupMemberRow.person_id)
        .join(GroupRow, GroupRow.id == GroupMemberRow.group_id)
        .where(GroupRow.organisation_id == unit.viewer.organisation_id)
    ).all()


def made_easier(unit: Unit) -> Sequence[str]:
    """The people for whom the viewer's organisation grants time, pauses or larger type."""
    return unit.session.scalars(
        select(TimeAllowanceRow.person_id).where(
            TimeAllowanceRow.organisation_id == unit.viewer.organisation_id,
            or_(
                TimeAllowanceRow.percent > 0,
                TimeAllowanceRow.pauses > 0,
                TimeAllowanceRow.larger_type,
            ),
        )
    ).all()


def practised(unit: Unit, method: str, everywhere: bool) -> Sequence[Found]:
    """Answers in practice, oldest first: person_id, organisation_id, family, level, right.

    Of the viewer's organisation, or `everywhere`.
    """
    return unit.session.execute(
        select(
            ResponseRow.person_id,
            ResponseRow.organisation_id,
            ResponseRow.family,
            ShownItemRow.kept["level"].as_string().label("level"),
            ResponseRow.right,
        )
        .join(ShownItemRow, ShownItemRow.id == ResponseRow.item_id)
        .where(ResponseRow.method == method, _there(unit, ResponseRow, everywhere))
        .order_by(ResponseRow.answered_at, ResponseRow.item_id)
    ).all()


def sat(unit: Unit, method: str, everywhere: bool, sittings: int) -> Sequence[Found]:
    """Questions of the last so many sittings that are done, oldest first: person_id,
    organisation_id, family, kept, answer (None: left open)."""
    last = (
        select(SittingRow.id)
        .where(
            SittingRow.method == method,
            SittingRow.state == DONE,
            _there(unit, SittingRow, everywhere),
        )
        .order_by(SittingRow.opened_at.desc(), SittingRow.id)
        .limit(sittings)
    )
    return unit.session.execute(
        select(
            SittingRow.person_id,
            SittingRow.organisation_id,
            SittingItemRow.family,
            SittingItemRow.kept,
            SittingItemRow.answer,
        )
        .join(SittingRow, SittingRow.id == SittingItemRow.sitting_id)
        .where(
            SittingRow.id.in_(last.scalar_subquery()),
            SittingItemRow.phase == MAIN,
            ~SittingItemRow.withdrawn,
        )
        .order_by(SittingRow.opened_at, SittingRow.id, SittingItemRow.position)
    ).all()


def _there(
    unit: Unit, table: type[ResponseRow] | type[SittingRow], everywhere: bool
) -> ColumnElement[bool]:
    return true() if everywhere else table.organisation_id == unit.viewer.organisation_id
