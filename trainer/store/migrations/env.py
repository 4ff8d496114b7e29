"""Alembic runs this: the connection is handed in, the tables are ours."""

from importlib import import_module
from pkgutil import iter_modules

from alembic import context

from trainer import store
from trainer.store.base import Base

for module in iter_modules(store.__path__):
    import_module(f"{store.__name__}.{module.name}")

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
