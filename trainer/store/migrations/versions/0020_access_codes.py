"""Access codes of other programs."""

import sqlalchemy as sa
from alembic import op

revision = "0020_access_codes"
down_revision = "0023_appeals"


def upgrade() -> None:
    op.create_table(
        "access_tokens",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False
        ),
        sa.Column("purpose", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("ended_at", sa.DateTime()),
        sa.Column("last_used_on", sa.Date()),
        sa.Column("minute", sa.Integer(), nullable=False),
        sa.Column("taken", sa.Integer(), nullable=False),
        sa.UniqueConstraint("token_hash"),
    )
    op.create_index("ix_access_tokens_organisation_id", "access_tokens", ["organisation_id"])


def downgrade() -> None:
    op.drop_table("access_tokens")
