"""Who has asked to be taken out, and that it was done; standards know their raters by their ids."""

from collections.abc import Callable

import sqlalchemy as sa
from alembic import op

revision = "0028_erasures"
down_revision = "0025_week_findings"
standards = sa.table(
    "standards",
    sa.column("id", sa.String()),
    sa.column("panel_id", sa.String()),
    sa.column("summary", sa.JSON()),
)
ratings = sa.table("panel_ratings", sa.column("panel_id"), sa.column("rater_id"))
persons = sa.table("persons", sa.column("id"), sa.column("name"))


def upgrade() -> None:
    op.create_table(
        "erasures",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), nullable=False),
        sa.Column("pending", sa.String(32)),
        sa.Column("entered_by", sa.String(32), nullable=False),
        sa.Column("asked_at", sa.DateTime(), nullable=False),
        sa.Column("due_on", sa.Date()),
        sa.Column("why", sa.Text(), nullable=False, server_default=""),
        sa.Column("decided_by", sa.String(32)),
        sa.Column("decided_at", sa.DateTime()),
        sa.Column("ended_by", sa.String(32)),
        sa.Column("ended_at", sa.DateTime()),
        sa.Column("ended_why", sa.Text(), nullable=False, server_default=""),
        sa.Column("organisation_id", sa.String(32), sa.ForeignKey("organisations.id")),
        sa.Column("done_by", sa.String(32)),
        sa.Column("done_at", sa.DateTime()),
        sa.Column("number", sa.Integer()),
        sa.UniqueConstraint("pending"),
        sa.UniqueConstraint("number"),
    )
    op.create_index("ix_erasures_person_id", "erasures", ["person_id"])
    op.create_index("ix_erasures_organisation_id", "erasures", ["organisation_id"])
    _say_raters(_ids)


def downgrade() -> None:
    _say_raters(lambda kept, known: [known.get(one, "") for one in kept])
    op.drop_table("erasures")


def _say_raters(say: Callable[[list[str], dict[str, str]], list[str]]) -> None:
    """Write the raters of every standard anew, from what is there and the panel's {id: name}."""
    connection = op.get_bind()
    for row in connection.execute(sa.select(standards)).all():
        raters = connection.execute(
            sa.select(persons.c.id, persons.c.name)
            .join(ratings, ratings.c.rater_id == persons.c.id)
            .where(ratings.c.panel_id == row.panel_id)
            .distinct()
            .order_by(persons.c.id)
        ).all()
        known = {one.id: one.name for one in raters}
        said = say(row.summary.get("raters", []), known)
        connection.execute(
            standards.update()
            .where(standards.c.id == row.id)
            .values(summary=row.summary | {"raters": said})
        )


def _ids(names: list[str], known: dict[str, str]) -> list[str]:
    """Whoever was renamed meanwhile is one of those who are left."""
    left = dict(known)
    found: list[str | None] = []
    for name in names:
        found.append(next((one for one, called in left.items() if called == name), None))
        left.pop(found[-1] or "", None)
    rest = iter(left)
    return [one or next(rest, "") for one in found]
