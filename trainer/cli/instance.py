"""How a command opens the instance: settings, database brought up to date, one unit of work."""

from collections.abc import Iterator
from contextlib import contextmanager

from trainer.cli.lines import wrong_input_ends
from trainer.settings import Settings, prepare, read_settings
from trainer.use_cases.work import Unit, Work


@contextmanager
def instance_at() -> Iterator[tuple[Work, Settings]]:
    """Units on the instance's database, brought up to date, and the settings.

    Wrong input ends with 2.
    """
    with wrong_input_ends():
        settings = prepare(read_settings())
        work = Work(settings.database, settings.instance)
        work.prepare()
        try:
            yield work, settings
        finally:
            work.close()


@contextmanager
def instance_work() -> Iterator[Work]:
    """Units on the instance's database, brought up to date; wrong input ends with 2."""
    with instance_at() as (work, _):
        yield work


@contextmanager
def opened() -> Iterator[tuple[Unit, Settings]]:
    """A unit that commits at its end, and the settings; wrong input ends with 2."""
    with instance_at() as (work, settings), work.writing() as unit:
        yield unit, settings
