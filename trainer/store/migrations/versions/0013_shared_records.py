"""The issuer that each record names, and links by which holders share a record."""

import json

import sqlalchemy as sa
from alembic import op

revision = "0013_shared_records"
down_revision = "0012_memory"


def upgrade() -> None:
    op.add_column("records", sa.Column("issuer", sa.String(), nullable=False, server_default=""))
    _note_issuers(op.get_bind())
    op.create_index("ix_records_organisation_issuer", "records", ["organisation_id", "issuer"])
    op.create_table(
        "shared_links",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("token", sa.String(), nullable=False),
        sa.Column("record_id", sa.String(32), sa.ForeignKey("records.id"), nullable=False),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("ended_at", sa.DateTime(), nullable=True),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("shows", sa.JSON(), nullable=False),
        sa.UniqueConstraint("token"),
    )
    op.create_index("ix_shared_links_record_id", "shared_links", ["record_id"])


def _note_issuers(connection: sa.Connection) -> None:
    records = sa.table("records", sa.column("id"), sa.column("document"), sa.column("issuer"))
    for row in connection.execute(sa.select(records.c.id, records.c.document)).all():
        issuer = json.loads(row.document).get("issuer", "")
        name = issuer.get("id", "") if isinstance(issuer, dict) else issuer
        connection.execute(
            records.update().where(records.c.id == row.id).values(issuer=str(name))
        )


def downgrade() -> None:
    op.drop_table("shared_links")
    op.drop_index("ix_records_organisation_issuer", "records")
    op.drop_column("records", "issuer")
