"""How many bookings of a week were not cleared when it was checked."""

import sqlalchemy as sa
from alembic import op

revision = "0025_week_findings"
down_revision = "0021_outgoing_statements"


def upgrade() -> None:
    op.create_table(
        "week_findings",
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), primary_key=True
        ),
        sa.Column("monday", sa.Date(), primary_key=True),
        sa.Column("not_cleared", sa.Integer(), nullable=False),
        sa.Column("first_on", sa.Date(), nullable=False),
        sa.Column("last_on", sa.Date(), nullable=False),
        sa.Column("checked_at", sa.DateTime(), nullable=False),
    )


def downgrade() -> None:
    op.drop_table("week_findings")
