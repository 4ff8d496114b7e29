"""How a command opens the instance: settings, database brought up to date, one unit of work."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import timedelta

from trainer import clock
from trainer.core.problems import InputProblem
from trainer.settings import Settings, prepare, read_settings
from trainer.use_cases.administer import organisations
from trainer.use_cases.send_offers import send_offers
from trainer.use_cases.work import Unit, Viewer, Work


@contextmanager
def instance_at() -> Iterator[tuple[Work, Settings]]:
    """Units on the instance's database, brought up to date, and the settings."""
    settings = prepare(read_settings())
    work = Work(settings.database, settings.instance)
    work.prepare()
    try:
        yield work, settings
    finally:
        work.close()


@contextmanager
def instance_work() -> Iterator[Work]:
    """Units on the instance's database, brought up to date."""
    with instance_at() as (work, _):
        yield work


@contextmanager
def opened() -> Iterator[tuple[Unit, Settings]]:
    """A unit that commits at its end, and the settings."""
    with instance_at() as (work, settings), work.writing() as unit:
        yield unit, settings


@contextmanager
def inside(organisation: str, role: str) -> Iterator[Unit]:
    """A unit of whoever runs the machine, in one organisation, as if in a role there."""
    with instance_work() as work:
        with work.reading() as unit:
            known = [one["id"] for one in organisations(unit)]
        if organisation not in known:
            remedy = "See `trainer users organisations`."
            raise InputProblem("names no organisation", "--organisation", remedy)
        with work.writing(Viewer("", organisation, frozenset({role}))) as unit:
            yield unit


def tell_asked(organisation: str, tokens: Mapping[str, str]) -> None:
    """A letter to everybody whom an organisation has just asked, where letters are sent."""
    settings = read_settings()
    now, lasts = clock.now(), timedelta(days=settings.invitation_days)
    if tokens and settings.sends_letters:
        with instance_work() as work:
            whose = Viewer("", organisation)
            send_offers(work, whose, settings.letters, tokens, now + lasts, now).join()
