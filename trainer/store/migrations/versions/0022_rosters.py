"""Ids that rosters from outside give our people, and files that wait for a yes."""

import sqlalchemy as sa
from alembic import op

revision = "0022_rosters"
down_revision = "0016_admission"


def organisation() -> sa.Column[str]:
    return sa.Column(
        "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False
    )


def upgrade() -> None:
    op.create_table(
        "roster_links",
        sa.Column("id", sa.String(32), primary_key=True),
        organisation(),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("source_id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id")),
        sa.Column("owner", sa.String(), nullable=False),
        sa.Column("said", sa.String(), nullable=False),
        sa.Column("email", sa.String(), nullable=False),
        sa.Column("is_open", sa.Boolean(), nullable=False),
        sa.UniqueConstraint("organisation_id", "kind", "source_id"),
    )
    op.create_index("ix_roster_links_person_id", "roster_links", ["person_id"])
    op.create_table(
        "roster_drafts",
        sa.Column("id", sa.String(32), primary_key=True),
        organisation(),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
    )
    op.create_index("ix_roster_drafts_organisation_id", "roster_drafts", ["organisation_id"])


def downgrade() -> None:
    op.drop_table("roster_drafts")
    op.drop_table("roster_links")
