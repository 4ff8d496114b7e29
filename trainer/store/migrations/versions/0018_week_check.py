"""The week check: what words in bookings mean, and where a salon's bookings stand."""

import sqlalchemy as sa
from alembic import op

revision = "0018_week_check"
down_revision = "0022_rosters"


def key(name: str, table: str, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.String(32), sa.ForeignKey(f"{table}.id"), nullable=nullable)


def upgrade() -> None:
    op.create_table(
        "matching_rules",
        sa.Column("id", sa.String(32), primary_key=True),
        key("organisation_id", "organisations"),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("service", sa.String(), nullable=False),
        key("person_id", "persons", nullable=True),
        key("made_by", "persons"),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.UniqueConstraint("organisation_id", "kind", "words"),
    )
    op.create_table(
        "diaries",
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), primary_key=True
        ),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        key("given_by", "persons"),
        sa.Column("given_at", sa.DateTime(), nullable=False),
    )


def downgrade() -> None:
    op.drop_table("diaries")
    op.drop_table("matching_rules")
