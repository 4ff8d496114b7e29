"""Panels that rate questions, and the standards adopted from them."""

import sqlalchemy as sa
from alembic import op

revision = "0011_standards"
down_revision = "0010_contests"


def _panels() -> None:
    op.create_table(
        "panels",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("under_way", sa.String()),
        sa.Column("opened_by", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("opened_at", sa.DateTime(), nullable=False),
        sa.Column("changed_at", sa.DateTime(), nullable=False),
        sa.Column("proposed_by", sa.String(32)),
        sa.Column("bank_version", sa.String(), nullable=False),
        sa.UniqueConstraint("under_way"),
    )
    op.create_index(
        "ix_panels_organisation_id_method_opened_at",
        "panels",
        ["organisation_id", "method", "opened_at"],
    )
    op.create_table(
        "panel_items",
        sa.Column("panel_id", sa.String(32), sa.ForeignKey("panels.id"), primary_key=True),
        sa.Column("position", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("kept", sa.JSON(), nullable=False),
        *(sa.Column(name, sa.Double(), nullable=False) for name in ("a", "b", "b_sd", "floor")),
        sa.Column("answered", sa.Integer(), nullable=False),
        sa.Column("right", sa.Integer(), nullable=False),
    )
    op.create_table(
        "panel_ratings",
        sa.Column("panel_id", sa.String(32), sa.ForeignKey("panels.id"), primary_key=True),
        sa.Column("round", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("rater_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
        sa.Column("position", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("of_ten", sa.Integer(), nullable=False),
        sa.Column("rated_at", sa.DateTime(), nullable=False),
    )


def upgrade() -> None:
    _panels()
    op.create_table(
        "standards",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("panel_id", sa.String(32), sa.ForeignKey("panels.id"), nullable=False),
        sa.Column("in_force", sa.String()),
        sa.Column("proposed_by", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("adopted_by", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("adopted_at", sa.DateTime(), nullable=False),
        sa.Column("ended_at", sa.DateTime()),
        *(
            sa.Column(name, sa.Double(), nullable=False)
            for name in ("share", "share_se", "ability", "ability_se")
        ),
        sa.Column("summary", sa.JSON(), nullable=False),
        sa.UniqueConstraint("panel_id"),
        sa.UniqueConstraint("in_force"),
    )
    op.create_index(
        "ix_standards_organisation_id_method_adopted_at",
        "standards",
        ["organisation_id", "method", "adopted_at"],
    )


def downgrade() -> None:
    for table in ("standards", "panel_ratings", "panel_items", "panels"):
        op.drop_table(table)
