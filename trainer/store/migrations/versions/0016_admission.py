"""Admission to a sitting, the agreement to the scheme, pauses, larger type, modules before it."""

import sqlalchemy as sa
from alembic import op

revision = "0016_admission"
down_revision = "0024_notices"

NUMBERS = ("pauses", "pause_minutes")


def person() -> sa.Column[str]:
    return sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False)


def organisation() -> sa.Column[str]:
    return sa.Column(
        "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False
    )


def text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False, server_default="")


def number(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=False, server_default="0")


def yes_or_no(name: str, otherwise: bool = False) -> sa.Column[bool]:
    said = sa.true() if otherwise else sa.false()
    return sa.Column(name, sa.Boolean(), nullable=False, server_default=said)


def upgrade() -> None:
    op.create_table(
        "admissions",
        sa.Column("id", sa.String(32), primary_key=True),
        person(),
        organisation(),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("pending", sa.String()),
        text("needs"),
        sa.Column("asked_at", sa.DateTime(), nullable=False),
        sa.Column("decided_by", sa.String(32)),
        sa.Column("decided_at", sa.DateTime()),
        sa.Column("identity", sa.String(), nullable=False, server_default=""),
        text("why"),
        number("extra_percent"),
        *map(number, NUMBERS),
        yes_or_no("larger_type"),
        sa.Column("sitting_id", sa.String(32)),
        sa.UniqueConstraint("pending"),
    )
    op.create_index(
        "ix_admissions_organisation_id_state", "admissions", ["organisation_id", "state"]
    )
    op.create_index("ix_admissions_person_id_method", "admissions", ["person_id", "method"])
    op.create_table(
        "scheme_agreements",
        sa.Column("id", sa.String(32), primary_key=True),
        person(),
        organisation(),
        sa.Column("version", sa.String(), nullable=False),
        sa.Column("signed_at", sa.DateTime(), nullable=False),
        sa.UniqueConstraint("person_id", "organisation_id", "version"),
    )
    for name in (*NUMBERS, "pauses_taken"):
        op.add_column("sittings", number(name))
    op.add_column("sittings", sa.Column("opened_by", sa.String(32)))
    op.add_column("sittings", sa.Column("paused_at", sa.DateTime()))
    op.add_column("sittings", sa.Column("place", sa.Integer()))
    op.add_column("sittings", yes_or_no("counts", otherwise=True))
    op.add_column("sittings", yes_or_no("larger_type"))
    for name in NUMBERS:
        op.add_column("time_allowances", number(name))
    op.add_column("time_allowances", yes_or_no("larger_type"))
    op.add_column("modules", yes_or_no("before_assessment"))
    op.add_column("organisations", yes_or_no("invigilated", otherwise=True))


def downgrade() -> None:
    op.drop_column("organisations", "invigilated")
    op.drop_column("modules", "before_assessment")
    for name in ("larger_type", *NUMBERS):
        op.drop_column("time_allowances", name)
    for name in ("larger_type", "counts", "place", "paused_at", "opened_by", "pauses_taken"):
        op.drop_column("sittings", name)
    for name in NUMBERS:
        op.drop_column("sittings", name)
    op.drop_table("scheme_agreements")
    op.drop_table("admissions")
