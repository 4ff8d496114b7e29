"""How long a look at the status of a record from elsewhere is enough, by house rule."""

import sqlalchemy as sa
from alembic import op

revision = "0027_house_status_days"
down_revision = "0028_remedies"


def upgrade() -> None:
    with op.batch_alter_table("house_rules") as table:
        table.add_column(sa.Column("status_days", sa.Integer()))


def downgrade() -> None:
    with op.batch_alter_table("house_rules") as table:
        table.drop_column("status_days")
