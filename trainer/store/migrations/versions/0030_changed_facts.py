"""Banks in use, safety facts that changed, top-ups on them; when an assessment was begun."""

import sqlalchemy as sa
from alembic import op

revision = "0030_changed_facts"
down_revision = "0032_sheets_seen"
standings = sa.table("standings", sa.column("passed_on"), sa.column("taken_on"))


def _person() -> list[sa.Column]:  # type: ignore[type-arg]
    change = sa.ForeignKey("fact_changes.id")
    return [
        sa.Column("change_id", sa.String(32), change, primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
    ]


def upgrade() -> None:
    op.create_table(
        "bank_uses",
        sa.Column("number", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("version", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
    )
    op.create_table(
        "fact_changes",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("fact", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("before", sa.JSON()),
        sa.Column("after", sa.JSON()),
        sa.Column("old_version", sa.String(), nullable=False),
        sa.Column("new_version", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("asks_again", sa.Boolean(), nullable=False),
        sa.Column("methods", sa.JSON(), nullable=False),
        sa.Column("service", sa.String(), nullable=False),
        sa.Column("families", sa.JSON(), nullable=False),
        sa.Column("tried", sa.Integer(), nullable=False),
        sa.Column("overtaken_at", sa.DateTime()),
    )
    op.create_index("ix_fact_changes_at_id", "fact_changes", ["at", "id"])
    op.create_table(
        "top_ups",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column(
            "organisation_id", sa.String(32), sa.ForeignKey("organisations.id"), nullable=False
        ),
        sa.Column("change_id", sa.String(32), sa.ForeignKey("fact_changes.id"), nullable=False),
        sa.Column("length", sa.Integer(), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=False),
        sa.Column("required", sa.Boolean(), nullable=False, server_default=sa.false()),
        sa.Column("offered_by", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("offered_at", sa.DateTime(), nullable=False),
        sa.UniqueConstraint("organisation_id", "change_id"),
    )
    op.create_table(
        "top_up_people",
        *_person(),
        sa.Column("length", sa.Integer(), nullable=False),
        sa.Column("right", sa.Integer(), nullable=False),
        sa.Column("began_at", sa.DateTime(), nullable=False),
        sa.Column("done_on", sa.Date()),
    )
    op.create_index("ix_top_up_people_person_id", "top_up_people", ["person_id"])
    op.create_table(
        "top_up_items",
        *_person(),
        sa.Column("position", sa.Integer(), primary_key=True),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("item_id", sa.String(32), nullable=False, unique=True),
    )
    op.create_index("ix_top_up_items_person_id", "top_up_items", ["person_id"])
    with op.batch_alter_table("standings") as table:
        table.add_column(sa.Column("taken_on", sa.Date()))
    # The day on which it was passed is the day on which it was begun, but for very few.
    op.execute(standings.update().values(taken_on=standings.c.passed_on))


def downgrade() -> None:
    with op.batch_alter_table("standings") as table:
        table.drop_column("taken_on")
    for table_name in ("top_up_items", "top_up_people", "top_ups", "fact_changes", "bank_uses"):
        op.drop_table(table_name)
