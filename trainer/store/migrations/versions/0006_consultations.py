"""Consultations: steps taken so far and the decision, so that a closed tab resumes."""

import sqlalchemy as sa
from alembic import op

revision = "0006_consultations"
down_revision = "0005_one_answer"


def upgrade() -> None:
    op.create_table(
        "consultations",
        sa.Column("item_id", sa.String(32), sa.ForeignKey("shown_items.id"), primary_key=True),
        sa.Column("steps", sa.JSON(), nullable=False),
        sa.Column("decided", sa.JSON(), nullable=True),
        sa.Column("begun_at", sa.DateTime(), nullable=False),
        sa.Column("changed_at", sa.DateTime(), nullable=False),
    )


def downgrade() -> None:
    op.drop_table("consultations")
