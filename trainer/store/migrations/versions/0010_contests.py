"""Questions that a learner contests, questions withdrawn, and every decision on a sitting."""

import sqlalchemy as sa
from alembic import op

revision = "0010_contests"
down_revision = "0009_calibrations"


def upgrade() -> None:
    op.create_table(
        "contests",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("sitting_id", sa.String(32), sa.ForeignKey("sittings.id"), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False
        ),
        sa.Column("comment", sa.Text(), nullable=False),
        sa.Column("sent_at", sa.DateTime(), nullable=False),
        sa.Column("upheld", sa.Boolean(), nullable=True),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("answered_by", sa.String(32), nullable=False),
        sa.Column("answered_at", sa.DateTime(), nullable=True),
        sa.UniqueConstraint("sitting_id", "position"),
    )
    op.create_index("ix_contests_organisation_id_sent_at", "contests", ["organisation_id", "sent_at"])
    op.create_table(
        "sitting_decisions",
        sa.Column("sitting_id", sa.String(32), sa.ForeignKey("sittings.id"), primary_key=True),
        sa.Column("number", sa.Integer(), primary_key=True),
        sa.Column("decided_at", sa.DateTime(), nullable=False),
        sa.Column("decided_by", sa.String(32), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("score", sa.Integer(), nullable=False),
        sa.Column("cut", sa.Integer(), nullable=False),
        sa.Column("most", sa.Integer(), nullable=False),
        sa.Column("passed", sa.Boolean(), nullable=False),
        sa.Column("confidence", sa.Double(), nullable=False),
    )
    op.add_column(
        "sitting_items",
        sa.Column("withdrawn", sa.Boolean(), nullable=False, server_default=sa.false()),
    )


def downgrade() -> None:
    op.drop_column("sitting_items", "withdrawn")
    op.drop_table("sitting_decisions")
    op.drop_table("contests")
