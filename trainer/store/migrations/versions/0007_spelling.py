"""British or American spelling: an organisation's, and a person's own where they chose one."""

import sqlalchemy as sa
from alembic import op

revision = "0007_spelling"
down_revision = "0006_consultations"


def upgrade() -> None:
    op.add_column(
        "organisations",
        sa.Column("spelling", sa.String(), nullable=False, server_default="british"),
    )
    op.add_column(
        "persons", sa.Column("spelling", sa.String(), nullable=False, server_default="")
    )


def downgrade() -> None:
    op.drop_column("persons", "spelling")
    op.drop_column("organisations", "spelling")
