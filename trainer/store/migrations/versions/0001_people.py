"""People, organisations, groups, one-use links, failed sign-ins, the chained log."""

import sqlalchemy as sa
from alembic import op

revision = "0001_people"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "persons",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("email", sa.String(), nullable=False),
        sa.Column("password_hash", sa.String(), nullable=False),
        sa.Column("visit", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("disabled_at", sa.DateTime()),
        sa.UniqueConstraint("email", name="uq_persons_email"),
    )
    op.create_table(
        "organisations",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
    )
    op.create_table(
        "memberships",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("roles", sa.JSON(), nullable=False),
        sa.Column("since", sa.DateTime(), nullable=False),
        sa.Column("ended_at", sa.DateTime()),
        sa.UniqueConstraint("person_id", "organisation_id"),
    )
    op.create_index("ix_memberships_organisation_id", "memberships", ["organisation_id"])
    op.create_table(
        "groups",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.UniqueConstraint("organisation_id", "name"),
    )
    op.create_table(
        "group_members",
        sa.Column("group_id", sa.String(32), sa.ForeignKey("groups.id"), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
    )
    op.create_index("ix_group_members_person_id", "group_members", ["person_id"])
    op.create_table(
        "one_use_links",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("expires_at", sa.DateTime(), nullable=False),
        sa.Column("used_at", sa.DateTime()),
        sa.UniqueConstraint("token_hash"),
    )
    op.create_index("ix_one_use_links_person_id", "one_use_links", ["person_id"])
    op.create_table(
        "sign_in_failures",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
    )
    op.create_index("ix_failures_who_at", "sign_in_failures", ["who", "at"])
    op.create_table(
        "events",
        sa.Column("number", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("body_hash", sa.String(), nullable=False),
        sa.Column("before", sa.String(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.UniqueConstraint("before"),
    )
    op.create_table(
        "event_bodies",
        sa.Column("number", sa.Integer(), sa.ForeignKey("events.number"), primary_key=True),
        sa.Column("organisation_id", sa.String(32), nullable=False),
        sa.Column("person_id", sa.String(32), nullable=False),
        sa.Column("actor_id", sa.String(32), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("salt", sa.String(), nullable=False),
        sa.Column("body", sa.JSON(), nullable=False),
    )
    op.create_index("ix_event_bodies_organisation_id", "event_bodies", ["organisation_id"])
    op.create_index("ix_event_bodies_person_id", "event_bodies", ["person_id"])


def downgrade() -> None:
    for table in (
        "event_bodies",
        "events",
        "sign_in_failures",
        "one_use_links",
        "group_members",
        "groups",
        "memberships",
        "organisations",
        "persons",
    ):
        op.drop_table(table)
