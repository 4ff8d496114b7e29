"""Records from elsewhere, and the issuers that a house accepts."""

import sqlalchemy as sa
from alembic import op

revision = "0019_records_from_elsewhere"
down_revision = "0018_week_check"


def key(name: str, table: str) -> sa.Column[str]:
    return sa.Column(name, sa.String(32), sa.ForeignKey(f"{table}.id"), nullable=False)


def upgrade() -> None:
    op.create_table(
        "accepted_issuers",
        sa.Column("id", sa.String(32), primary_key=True),
        key("organisation_id", "organisations"),
        sa.Column("issuer", sa.Text(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("keys", sa.Text(), nullable=False),
        sa.Column("methods", sa.JSON(), nullable=False),
        sa.Column("services", sa.JSON(), nullable=False),
        key("accepted_by", "persons"),
        sa.Column("accepted_at", sa.DateTime(), nullable=False),
        sa.Column("ended_at", sa.DateTime()),
        sa.Column("ended_by", sa.String(32)),
    )
    op.create_index(
        "ix_accepted_issuers_organisation_issuer",
        "accepted_issuers",
        ["organisation_id", "issuer"],
    )
    op.create_table(
        "outside_records",
        sa.Column("id", sa.String(32), primary_key=True),
        key("organisation_id", "organisations"),
        key("person_id", "persons"),
        sa.Column("issuer", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("services", sa.JSON(), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=False),
        sa.Column("valid_until", sa.Date()),
        sa.Column("lists", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("state_since", sa.DateTime(), nullable=False),
        sa.Column("checked_at", sa.DateTime()),
        sa.Column("counts_until", sa.Date()),
        sa.Column("agreed_on", sa.Date(), nullable=False),
        key("added_by", "persons"),
        sa.Column("added_at", sa.DateTime(), nullable=False),
        sa.UniqueConstraint("organisation_id", "digest"),
    )
    op.create_index(
        "ix_outside_records_organisation_person",
        "outside_records",
        ["organisation_id", "person_id"],
    )


def downgrade() -> None:
    op.drop_table("outside_records")
    op.drop_table("accepted_issuers")
