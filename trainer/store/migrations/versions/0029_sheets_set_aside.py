"""A signed sheet that an appeal has set aside: when, and why."""

import sqlalchemy as sa
from alembic import op

revision = "0029_sheets_set_aside"
down_revision = "0026_called"


def upgrade() -> None:
    with op.batch_alter_table("observations") as table:
        table.add_column(sa.Column("set_aside_at", sa.DateTime()))
        table.add_column(sa.Column("set_aside_why", sa.Text(), nullable=False, server_default=""))


def downgrade() -> None:
    with op.batch_alter_table("observations") as table:
        table.drop_column("set_aside_why")
        table.drop_column("set_aside_at")
