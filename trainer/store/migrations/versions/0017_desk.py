"""House rules, work done under supervision, working days, and what stands behind a standing."""

from datetime import date

import sqlalchemy as sa
from alembic import op

revision = "0017_desk"
down_revision = "0014_chair"


def person(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.String(32), sa.ForeignKey("persons.id"), nullable=False)


def organisation(key: bool = False) -> sa.Column[str]:
    place = sa.ForeignKey("organisations.id")
    return sa.Column("organisation_id", sa.String(32), place, nullable=False, primary_key=key)


def upgrade() -> None:
    op.create_table(
        "house_rules",
        sa.Column("id", sa.String(32), primary_key=True),
        organisation(),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("grace_days", sa.Integer()),
        sa.Column("second_observation", sa.Boolean(), nullable=False),
        sa.Column("refresh_months", sa.Integer(), nullable=False),
        sa.Column("supervised_clients", sa.Integer(), nullable=False),
        sa.Column("in_force", sa.Boolean(), nullable=False),
        person("set_by"),
        sa.Column("set_at", sa.DateTime(), nullable=False),
    )
    op.create_index(
        "ix_house_rules_organisation_id_set_at", "house_rules", ["organisation_id", "set_at"]
    )
    op.create_index("ix_house_rules_in_force", "house_rules", ["organisation_id", "in_force"])
    op.create_table(
        "supervised_work",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("submission_id", sa.String(), nullable=False),
        organisation(),
        person("person_id"),
        person("supervisor_id"),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("service", sa.String(), nullable=False),
        sa.Column("on_day", sa.Date(), nullable=False),
        person("noted_by"),
        sa.Column("noted_at", sa.DateTime(), nullable=False),
        sa.Column("taken_back_at", sa.DateTime()),
        sa.UniqueConstraint("submission_id"),
    )
    op.create_index(
        "ix_supervised_work_counted",
        "supervised_work",
        ["organisation_id", "person_id", "method", "service"],
    )
    op.create_table(
        "working_days",
        organisation(key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("persons.id"), primary_key=True),
        sa.Column("days", sa.Integer(), nullable=False),
    )
    op.create_table(
        "team_summaries",
        organisation(key=True),
        sa.Column("for_day", sa.Date(), nullable=False),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("said", sa.JSON(), nullable=False),
    )
    op.add_column("standings", sa.Column("record_from", sa.Date()))
    op.add_column("standings", sa.Column("second_on", sa.Date()))
    _fill(op.get_bind())


def _fill(connection: sa.Connection) -> None:
    """What the new columns would hold had they always been there."""
    records = sa.table("records", sa.column("id"), sa.column("valid_from", sa.DateTime()))
    standings = sa.table(
        "standings",
        *(sa.column(name) for name in ("person_id", "method", "service", "record_id")),
        sa.column("record_from", sa.Date()),
        sa.column("second_on", sa.Date()),
    )
    for row in connection.execute(sa.select(records.c.id, records.c.valid_from)).all():
        connection.execute(
            standings.update()
            .where(standings.c.record_id == row.id)
            .values(record_from=row.valid_from.date())
        )
    for (person_id, method, service, *_), day in _second_sign_offs(connection).items():
        connection.execute(
            standings.update()
            .where(
                standings.c.person_id == person_id,
                standings.c.method == method,
                standings.c.service == service,
            )
            .values(second_on=day)
        )


def _second_sign_offs(connection: sa.Connection) -> dict[tuple[str, ...], date]:
    """(person, method, service) -> the day on which a second observer had signed it off."""
    names = ("person_id", "method", "service", "observer_id")
    sheets = sa.table(
        "observations",
        *(sa.column(name) for name in names),
        sa.column("observed_at", sa.DateTime()),
        sa.column("met", sa.Boolean()),
    )
    first: dict[tuple[str, ...], str] = {}
    second: dict[tuple[str, ...], date] = {}
    rows = connection.execute(
        sa.select(*(sheets.c[name] for name in names), sheets.c.observed_at)
        .where(sheets.c.met)
        .order_by(sheets.c.observed_at)
    )
    for row in rows.all():
        key = (row.person_id, row.method, row.service)
        if first.setdefault(key, row.observer_id) != row.observer_id:
            second.setdefault(key, row.observed_at.date())
    return second


def downgrade() -> None:
    for column in ("second_on", "record_from"):
        op.drop_column("standings", column)
    for table in ("team_summaries", "working_days", "supervised_work", "house_rules"):
        op.drop_table(table)
