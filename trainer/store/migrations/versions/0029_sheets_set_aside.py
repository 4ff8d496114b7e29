"""A signed sheet that an appeal has set aside: when, and why."""

import sqlalchemy as sa
from alembic import op

revision = "0029_sheets_set_aside"
down_revision = "0026_called"


def upgrade() -> None:
    op.add_column("observations", sa.Column("set_aside_at", sa.DateTime()))
    op.add_column(
        "observations", sa.Column("set_aside_why", sa.Text(), nullable=False, server_default="")
    )


def downgrade() -> None:
    op.drop_column("observations", "set_aside_why")
    op.drop_column("observations", "set_aside_at")
