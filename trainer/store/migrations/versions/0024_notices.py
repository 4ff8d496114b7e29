"""Letters that say what needs somebody."""

import sqlalchemy as sa
from alembic import op

revision = "0024_notices"
down_revision = "0020_access_codes"


def upgrade() -> None:
    op.create_table(
        "notices",
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), primary_key=True
        ),
        sa.Column("every_days", sa.Integer(), nullable=False),
        sa.Column("last_sent_at", sa.DateTime()),
    )


def downgrade() -> None:
    op.drop_table("notices")
