"""A large house is read in the order of names, and asked who stands where.

Memberships say what their person is called; standings are found by word and person.
"""

import sqlalchemy as sa
from alembic import op

revision = "0026_called"
down_revision = "0027_house_status_days"
IN_ORDER, BY_PLACE = "ix_memberships_in_order", "ix_memberships_organisation_id"


def upgrade() -> None:
    called = sa.Column("called", sa.String(), nullable=False, server_default="")
    op.add_column("memberships", called)
    persons = sa.table("persons", sa.column("id"), sa.column("name"))
    memberships = sa.table("memberships", sa.column("person_id"), sa.column("called"))
    name = sa.select(persons.c.name).where(persons.c.id == memberships.c.person_id)
    op.execute(memberships.update().values(called=name.scalar_subquery()))
    op.create_index(IN_ORDER, "memberships", ["organisation_id", "called", "person_id"])
    op.drop_index(BY_PLACE, "memberships")
    told = ["word", "person_id", "method", "service", "day"]
    op.create_index("ix_standings_word", "standings", told)


def downgrade() -> None:
    op.drop_index("ix_standings_word", "standings")
    op.create_index(BY_PLACE, "memberships", ["organisation_id"])
    op.drop_index(IN_ORDER, "memberships")
    op.drop_column("memberships", "called")
