"""When the one whose work it was has seen a signed sheet; those of before count as seen."""

import sqlalchemy as sa
from alembic import op

revision = "0032_sheets_seen"
down_revision = "0031_offers"


def upgrade() -> None:
    op.add_column("observations", sa.Column("seen_at", sa.DateTime()))
    sheets = sa.table("observations", sa.column("seen_at"), sa.column("signed_at"))
    op.execute(sheets.update().values(seen_at=sheets.c.signed_at))


def downgrade() -> None:
    op.drop_column("observations", "seen_at")
