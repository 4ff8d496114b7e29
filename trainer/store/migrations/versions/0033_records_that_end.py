"""What tells which records end stands in their index, so that no document is read for it."""

from alembic import op

revision = "0033_records_that_end"
down_revision = "0030_changed_facts"


def upgrade() -> None:
    op.create_index(
        "ix_records_ends",
        "records",
        ["person_id", "method", "state", "valid_until", "issued_at", "state_since"],
    )
    op.drop_index("ix_records_person_method", "records")


def downgrade() -> None:
    op.create_index("ix_records_person_method", "records", ["person_id", "method"])
    op.drop_index("ix_records_ends", "records")
