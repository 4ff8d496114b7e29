"""An answer is known by its scenario: two ids and their indexes fewer to keep with each."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0005_one_answer"
down_revision = "0004_records"
INDEXES = ("ix_responses_organisation_id_answered_at", "ix_responses_person_id_answered_at")
KEPT = (
    "item_id, person_id, organisation_id, method, topic, family, response, score, "
    '"right", critical_error, misconceptions, wrong, answered_at'
)


def columns() -> list[sa.Column[Any]]:
    return [
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
    ]


def upgrade() -> None:
    _set_aside()
    op.create_table(
        "responses",
        sa.Column("item_id", sa.String(32), sa.ForeignKey("shown_items.id"), primary_key=True),
        *columns(),
    )
    op.execute(f"insert into responses ({KEPT}) select {KEPT} from responses_before")
    _put_back("item_id")


def downgrade() -> None:
    _set_aside()
    op.create_table(
        "responses",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("item_id", sa.String(32), sa.ForeignKey("shown_items.id"), nullable=False),
        sa.Column("submission_id", sa.String(), nullable=False),
        *columns(),
        sa.UniqueConstraint("submission_id"),
        sa.UniqueConstraint("item_id"),
    )
    op.execute(
        f"insert into responses (id, submission_id, {KEPT}) "
        f"select item_id, item_id, {KEPT} from responses_before"
    )
    _put_back("id")


def _set_aside() -> None:
    """The rows alone: the table's constraints keep their names for the table to come."""
    op.execute(f"create table responses_before as select {KEPT} from responses")
    op.drop_table("responses")


def _put_back(last: str) -> None:
    op.drop_table("responses_before")
    op.create_index(INDEXES[0], "responses", ["organisation_id", "answered_at"])
    op.create_index(INDEXES[1], "responses", ["person_id", "answered_at", last])
