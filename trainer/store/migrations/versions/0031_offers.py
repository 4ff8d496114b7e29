"""Places in a house that are offered to an address, until somebody answers."""

import sqlalchemy as sa
from alembic import op

revision = "0031_offers"
down_revision = "0029_sheets_set_aside"


def upgrade() -> None:
    op.create_table(
        "offers",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False
        ),
        sa.Column("email", sa.String(), nullable=False, index=True),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("roles", sa.JSON(), nullable=False),
        sa.Column("groups", sa.JSON(), nullable=False),
        sa.Column("asked_by", sa.String(32), sa.ForeignKey("persons.id")),
        sa.Column("asked_at", sa.DateTime(), nullable=False),
        sa.Column("expires_at", sa.DateTime(), nullable=False),
        sa.Column("declined_at", sa.DateTime()),
        sa.Column("token_hash", sa.String(), nullable=False, unique=True),
        sa.UniqueConstraint("organisation_id", "email"),
    )


def downgrade() -> None:
    op.drop_table("offers")
