"""Completion records, places on status lists, standings."""

import sqlalchemy as sa
from alembic import op

revision = "0004_records"
down_revision = "0003_modules"


def upgrade() -> None:
    op.create_table(
        "records",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("services", sa.JSON(), nullable=False),
        sa.Column("valid_from", sa.DateTime(), nullable=False),
        sa.Column("valid_until", sa.DateTime(), nullable=False),
        sa.Column("issued_at", sa.DateTime(), nullable=False),
        sa.Column("basis", sa.String(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("state_since", sa.DateTime(), nullable=False),
        sa.Column("state_reason", sa.Text(), nullable=False),
        sa.UniqueConstraint("basis"),
    )
    op.create_index("ix_records_person_method", "records", ["person_id", "method"])
    op.create_index("ix_records_issuer_issued", "records", ["organisation_id", "issued_at", "id"])
    op.create_table(
        "status_entries",
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), primary_key=True
        ),
        sa.Column("place", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("record_id", sa.String(32), nullable=False),
        sa.Column("is_set", sa.Boolean(), nullable=False),
        sa.UniqueConstraint("record_id"),
    )
    op.create_table(
        "standings",
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
        sa.Column("method", sa.String(), primary_key=True),
        sa.Column("service", sa.String(), primary_key=True),
        sa.Column("word", sa.String(), nullable=False),
        sa.Column("day", sa.Date()),
        sa.Column("record_id", sa.String(32)),
        sa.Column("passed_on", sa.Date()),
        sa.Column("observed_on", sa.Date()),
        sa.Column("as_of", sa.DateTime(), nullable=False),
    )


def downgrade() -> None:
    for table in ("standings", "status_entries", "records"):
        op.drop_table(table)
