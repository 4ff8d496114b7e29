"""Statements to be sent, and where to."""

import sqlalchemy as sa
from alembic import op

revision = "0021_outgoing_statements"
down_revision = "0019_records_from_elsewhere"


def upgrade() -> None:
    op.create_table(
        "statement_targets",
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), primary_key=True
        ),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("is_on", sa.Boolean(), nullable=False),
        sa.Column("told_until", sa.DateTime(), nullable=False),
        sa.Column("sent_at", sa.DateTime()),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.Column("said", sa.Text(), nullable=False),
        sa.Column("next_try_at", sa.DateTime()),
    )
    op.create_table(
        "outgoing_statements",
        sa.Column("id", sa.String(), primary_key=True),
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False
        ),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("statement", sa.JSON()),
        sa.Column("sent_at", sa.DateTime()),
        sa.Column("refused", sa.Text(), nullable=False),
    )
    op.create_index(
        "ix_outgoing_statements_waiting",
        "outgoing_statements",
        ["organisation_id", "sent_at", "refused", "number"],
    )


def downgrade() -> None:
    op.drop_table("outgoing_statements")
    op.drop_table("statement_targets")
