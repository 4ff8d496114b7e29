"""What a shown scenario was about, so that the same does not come back too soon."""

import sqlalchemy as sa
from alembic import op

revision = "0008_content"
down_revision = "0007_spelling"
OLD, NEW = "ix_shown_items_person_id", "ix_shown_items_person_id_shown_at"


def upgrade() -> None:
    op.add_column(
        "shown_items", sa.Column("content", sa.String(), nullable=False, server_default="")
    )
    op.add_column(
        "shown_items", sa.Column("again", sa.Boolean(), nullable=False, server_default=sa.false())
    )
    op.drop_index(OLD, "shown_items")
    op.create_index(NEW, "shown_items", ["person_id", "shown_at", "id"])


def downgrade() -> None:
    op.drop_index(NEW, "shown_items")
    op.create_index(OLD, "shown_items", ["person_id"])
    op.drop_column("shown_items", "again")
    op.drop_column("shown_items", "content")
