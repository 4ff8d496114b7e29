"""A second observer, what to do next, photos, accepted evidence, calendar feeds."""

import sqlalchemy as sa
from alembic import op

revision = "0014_chair"
down_revision = "0013_shared_records"


def person(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.String(32), sa.ForeignKey("persons.id"), nullable=False)


def organisation() -> sa.Column[str]:
    return sa.Column(
        "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False
    )


def text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False, server_default="")


def upgrade() -> None:
    op.add_column(
        "organisations",
        sa.Column("second_observer", sa.Boolean(), nullable=False, server_default=sa.false()),
    )
    op.add_column("observations", text("next_step"))
    op.add_column(
        "observations",
        sa.Column("asks_second", sa.Boolean(), nullable=False, server_default=sa.false()),
    )
    op.add_column("observations", sa.Column("second_of", sa.String(32), nullable=True))
    op.create_index("ix_observations_second_of", "observations", ["second_of"], unique=True)
    op.create_table(
        "evidence_photos",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("observation_id", sa.String(32), sa.ForeignKey("observations.id"), nullable=False),
        sa.Column("file", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        person("added_by"),
        sa.Column("added_at", sa.DateTime(), nullable=False),
        sa.Column("removed_at", sa.DateTime()),
        sa.Column("removed_by", sa.String(32)),
        text("removed_why"),
        sa.UniqueConstraint("file"),
    )
    op.create_index("ix_evidence_photos_observation_id", "evidence_photos", ["observation_id"])
    op.create_table(
        "acceptances",
        sa.Column("id", sa.String(32), primary_key=True),
        person("person_id"),
        organisation(),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("service", sa.String(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        person("asked_by"),
        sa.Column("asked_at", sa.DateTime(), nullable=False),
        sa.Column("agreed", sa.Boolean()),
        sa.Column("decided_by", sa.String(32)),
        sa.Column("decided_at", sa.DateTime()),
        text("decided_why"),
    )
    op.create_index("ix_acceptances_person_id_method", "acceptances", ["person_id", "method"])
    op.create_index(
        "ix_acceptances_organisation_id_decided_at",
        "acceptances",
        ["organisation_id", "decided_at"],
    )
    op.create_table(
        "calendar_feeds",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        person("person_id"),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id")),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("ended_at", sa.DateTime()),
        sa.UniqueConstraint("token_hash"),
    )
    for column in ("person_id", "organisation_id"):
        op.create_index(f"ix_calendar_feeds_{column}", "calendar_feeds", [column])


def downgrade() -> None:
    for table in ("calendar_feeds", "acceptances", "evidence_photos"):
        op.drop_table(table)
    op.drop_index("ix_observations_second_of", "observations")
    for column in ("second_of", "asks_second", "next_step"):
        op.drop_column("observations", column)
    op.drop_column("organisations", "second_observer")
