"""How hard each family proved to be, by dated calibrations; and what an item went by."""

import sqlalchemy as sa
from alembic import op

revision = "0009_calibrations"
down_revision = "0008_content"
SHOWN = ("shown_items", "sitting_items")


def upgrade() -> None:
    op.create_table(
        "calibrations",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("bank_version", sa.String(), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("responses", sa.Integer(), nullable=False),
        sa.Column("summary", sa.JSON(), nullable=False),
        sa.Column("adopted_at", sa.DateTime(), nullable=True),
        sa.Column("retired_at", sa.DateTime(), nullable=True),
    )
    op.create_table(
        "family_difficulties",
        sa.Column(
            "calibration_id", sa.String(32), sa.ForeignKey("calibrations.id"), primary_key=True
        ),
        sa.Column("family", sa.String(), primary_key=True),
        sa.Column("a", sa.Double(), nullable=False),
        sa.Column("b", sa.Double(), nullable=False),
        sa.Column("b_sd", sa.Double(), nullable=False),
        sa.Column("floor", sa.Double(), nullable=False),
        sa.Column("responses", sa.Integer(), nullable=False),
        sa.Column("infit", sa.Double(), nullable=False),
        sa.Column("outfit", sa.Double(), nullable=False),
        sa.Column("means", sa.JSON(), nullable=False),
    )
    for table in SHOWN:
        op.add_column(table, sa.Column("difficulty", sa.JSON(), nullable=True))


def downgrade() -> None:
    for table in SHOWN:
        op.drop_column(table, "difficulty")
    op.drop_table("family_difficulties")
    op.drop_table("calibrations")
