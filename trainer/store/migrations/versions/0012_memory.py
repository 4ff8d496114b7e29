"""How well each family is remembered, and why a scenario was shown; the last forms of a method are found at once."""

import sqlalchemy as sa
from alembic import op

revision = "0012_memory"
down_revision = "0011_standards"
LAST_FORMS = "ix_sittings_organisation_id_method_opened_at"


def upgrade() -> None:
    op.create_table(
        "memories",
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
        sa.Column("family", sa.String(), primary_key=True),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("topic", sa.String(), nullable=False),
        sa.Column("strength_days", sa.Double(), nullable=False),
        sa.Column("hardness", sa.Double(), nullable=False),
        sa.Column("recalled", sa.Boolean(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
    )
    op.add_column("shown_items", sa.Column("why", sa.String(), nullable=False, server_default=""))
    op.create_index(LAST_FORMS, "sittings", ["organisation_id", "method", "opened_at"])


def downgrade() -> None:
    op.drop_index(LAST_FORMS, "sittings")
    op.drop_column("shown_items", "why")
    op.drop_table("memories")
