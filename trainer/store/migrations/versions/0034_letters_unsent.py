"""Whose letter did not go, of those whom a house asks to join."""

import sqlalchemy as sa
from alembic import op

revision = "0034_letters_unsent"
down_revision = "0033_records_that_end"


def upgrade() -> None:
    op.add_column("offers", sa.Column("unsent_at", sa.DateTime()))


def downgrade() -> None:
    op.drop_column("offers", "unsent_at")
