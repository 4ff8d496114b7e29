"""Modules with their progress, and observations."""

import sqlalchemy as sa
from alembic import op

revision = "0003_modules"
down_revision = "0002_practice"


def upgrade() -> None:
    op.create_table(
        "modules",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("submission_id", sa.String(), nullable=False),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("methods", sa.JSON(), nullable=False),
        sa.Column("topics", sa.JSON(), nullable=False),
        sa.Column("length", sa.Integer(), nullable=False),
        sa.Column("level", sa.String(), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=False),
        sa.Column("created_by", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("closed_at", sa.DateTime()),
        sa.UniqueConstraint("submission_id"),
    )
    op.create_index("ix_modules_organisation_id_closed_at", "modules", ["organisation_id", "closed_at"])
    op.create_table(
        "module_groups",
        sa.Column("module_id", sa.String(32), sa.ForeignKey("modules.id"), primary_key=True),
        sa.Column("group_id", sa.String(32), sa.ForeignKey("groups.id"), primary_key=True),
    )
    op.create_index("ix_module_groups_group_id", "module_groups", ["group_id"])
    op.create_table(
        "module_people",
        sa.Column("module_id", sa.String(32), sa.ForeignKey("modules.id"), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
    )
    op.create_index("ix_module_people_person_id", "module_people", ["person_id"])
    op.create_table(
        "module_progress",
        sa.Column("module_id", sa.String(32), sa.ForeignKey("modules.id"), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
        sa.Column("answered", sa.Integer(), nullable=False),
        sa.Column("right", sa.Integer(), nullable=False),
        sa.Column("last_at", sa.DateTime(), nullable=False),
    )
    op.create_index("ix_module_progress_person_id", "module_progress", ["person_id"])
    op.create_table(
        "observations",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("submission_id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("observer_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("service", sa.String(), nullable=False),
        sa.Column("observed_at", sa.DateTime(), nullable=False),
        sa.Column("signed_at", sa.DateTime(), nullable=False),
        sa.Column("ticks", sa.JSON(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("met", sa.Boolean(), nullable=False),
        sa.Column("bank_version", sa.String(), nullable=False),
        sa.UniqueConstraint("submission_id"),
    )
    op.create_index("ix_observations_organisation_id_signed_at", "observations", ["organisation_id", "signed_at"])
    op.create_index(
        "ix_observations_person_id_method_observed_at", "observations", ["person_id", "method", "observed_at"]
    )


def downgrade() -> None:
    for table in (
        "observations",
        "module_progress",
        "module_people",
        "module_groups",
        "modules",
    ):
        op.drop_table(table)
