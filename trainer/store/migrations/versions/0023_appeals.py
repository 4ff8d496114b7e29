"""Appeals and complaints."""

import sqlalchemy as sa
from alembic import op

revision = "0023_appeals"
down_revision = "0017_desk"


def upgrade() -> None:
    op.create_table(
        "appeals",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("submission_id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False
        ),
        sa.Column("about", sa.String(), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("concerns", sa.JSON(), nullable=False),
        sa.Column("sent_at", sa.DateTime(), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=False),
        sa.Column("taken_by", sa.String(32)),
        sa.Column("taken_at", sa.DateTime()),
        sa.Column("upheld", sa.Boolean()),
        sa.Column("answer", sa.Text(), nullable=False, server_default=""),
        sa.Column("answered_by", sa.String(32)),
        sa.Column("answered_at", sa.DateTime()),
        sa.UniqueConstraint("submission_id"),
    )
    op.create_index(
        "ix_appeals_organisation_id_answered_at", "appeals", ["organisation_id", "answered_at"]
    )
    op.create_index("ix_appeals_person_id", "appeals", ["person_id"])


def downgrade() -> None:
    op.drop_table("appeals")
