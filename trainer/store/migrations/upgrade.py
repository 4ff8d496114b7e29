"""Bring a database's tables to a version. Alembic, configured here rather than by a file."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Engine

from trainer.store.engine import writer


def settings_of_alembic() -> Config:
    """Alembic's settings: where the changes stand."""
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent))
    config.set_main_option("path_separator", "os")
    return config


def knows(version: str) -> bool:
    """Whether this program has tables of that version."""
    steps = ScriptDirectory.from_config(settings_of_alembic()).walk_revisions()
    return version in {step.revision for step in steps}


def upgrade(engine: Engine, version: str = "head") -> None:
    """Go up to a version, all in one transaction."""
    _run(engine, command.upgrade, version)


def downgrade(engine: Engine, version: str) -> None:
    """Go back to a version."""
    _run(engine, command.downgrade, version)


def _run(engine: Engine, what: object, version: str) -> None:
    config = settings_of_alembic()
    with writer(engine).begin() as connection:
        config.attributes["connection"] = connection
        what(config, version)  # type: ignore[operator]
