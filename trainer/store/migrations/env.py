"""Alembic runs this: the connection is handed in, the tables are ours."""

from alembic import context

from trainer.store.base import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
