"""By what an appeal that was upheld was put right."""

import sqlalchemy as sa
from alembic import op

revision = "0028_remedies"
down_revision = "0028_erasures"


def upgrade() -> None:
    op.add_column("appeals", sa.Column("remedy", sa.String(), nullable=False, server_default=""))


def downgrade() -> None:
    op.drop_column("appeals", "remedy")
