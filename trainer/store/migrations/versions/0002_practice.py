"""Practice, competencies, sittings."""

import sqlalchemy as sa
from alembic import op

revision = "0002_practice"
down_revision = "0001_people"


def upgrade() -> None:
    op.create_table(
        "shown_items",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("topic", sa.String(), nullable=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("kept", sa.JSON(), nullable=False),
        sa.Column("shown_at", sa.DateTime(), nullable=False),
    )
    op.create_index("ix_shown_items_person_id", "shown_items", ["person_id"])
    op.create_table(
        "responses",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("item_id", sa.String(32), sa.ForeignKey("shown_items.id"), nullable=False),
        sa.Column("submission_id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("topic", sa.String(), nullable=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("response", sa.JSON(), nullable=False),
        sa.Column("score", sa.Double(), nullable=False),
        sa.Column("right", sa.Boolean(), nullable=False),
        sa.Column("critical_error", sa.Boolean(), nullable=False),
        sa.Column("misconceptions", sa.JSON(), nullable=False),
        sa.Column("wrong", sa.JSON(), nullable=False),
        sa.Column("answered_at", sa.DateTime(), nullable=False),
        sa.UniqueConstraint("submission_id"),
        sa.UniqueConstraint("item_id"),
    )
    op.create_index("ix_responses_organisation_id_answered_at", "responses", ["organisation_id", "answered_at"])
    op.create_index("ix_responses_person_id_answered_at", "responses", ["person_id", "answered_at", "id"])
    op.create_table(
        "wrong_ideas",
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), primary_key=True),
        sa.Column("method", sa.String(), primary_key=True),
        sa.Column("misconception", sa.String(), primary_key=True),
        sa.Column("topic", sa.String(), nullable=False),
        sa.Column("times", sa.Integer(), nullable=False),
        sa.Column("last_at", sa.DateTime(), nullable=False),
    )
    op.create_table(
        "competencies",
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
        sa.Column("method", sa.String(), primary_key=True),
        sa.Column("topic", sa.String(), primary_key=True),
        sa.Column("mean", sa.Double(), nullable=False),
        sa.Column("sd", sa.Double(), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("right", sa.Integer(), nullable=False),
        sa.Column("updated_at", sa.DateTime()),
        sa.Column("waiting_id", sa.String(32)),
    )
    op.create_table(
        "sittings",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("blueprint", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("unfinished", sa.String()),
        sa.Column("opened_at", sa.DateTime(), nullable=False),
        sa.Column("closes_at", sa.DateTime(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("finished_at", sa.DateTime()),
        sa.Column("bank_version", sa.String(), nullable=False),
        sa.Column("fingerprint", sa.String(), nullable=False),
        sa.Column("most", sa.Integer(), nullable=False),
        sa.Column("cut", sa.Integer(), nullable=False),
        sa.Column("score", sa.Integer()),
        sa.Column("confidence", sa.Double()),
        sa.Column("passed", sa.Boolean()),
        sa.Column("outcome", sa.JSON(), nullable=False),
        sa.UniqueConstraint("unfinished"),
    )
    op.create_index("ix_sittings_organisation_id_finished_at", "sittings", ["organisation_id", "finished_at"])
    op.create_index("ix_sittings_person_id_method_finished_at", "sittings", ["person_id", "method", "finished_at"])
    op.create_table(
        "sitting_items",
        sa.Column("sitting_id", sa.String(32), sa.ForeignKey("sittings.id"), primary_key=True),
        sa.Column("position", sa.Integer(), primary_key=True),
        sa.Column("phase", sa.String(), nullable=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("kept", sa.JSON(), nullable=False),
        sa.Column("answer", sa.JSON()),
        sa.Column("saved_at", sa.DateTime()),
        sa.Column("flagged", sa.Boolean(), nullable=False),
    )
    op.create_table(
        "sitting_saves",
        sa.Column("sitting_id", sa.String(32), sa.ForeignKey("sittings.id"), primary_key=True),
        sa.Column("position", sa.Integer(), primary_key=True),
        sa.Column("submission_id", sa.String(), primary_key=True),
        sa.Column("answer", sa.JSON(), nullable=False),
        sa.Column("saved_at", sa.DateTime(), nullable=False),
    )
    op.create_table(
        "time_allowances",
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), primary_key=True),
        sa.Column("percent", sa.Integer(), nullable=False),
        sa.Column("set_by", sa.String(32), nullable=False),
        sa.Column("set_at", sa.DateTime(), nullable=False),
    )


def downgrade() -> None:
    for table in (
        "time_allowances",
        "sitting_saves",
        "sitting_items",
        "sittings",
        "competencies",
        "wrong_ideas",
        "responses",
        "shown_items",
    ):
        op.drop_table(table)
