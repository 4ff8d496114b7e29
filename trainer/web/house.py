"""What every screen needs: settings, units of work, bank, and who is looking."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from typing import Any

from flask import current_app, request, url_for
from flask_login import current_user

from trainer import clock
from trainer.core.exchange.time_zones import day_there
from trainer.core.knowledge.bank import Bank
from trainer.settings import Settings
from trainer.use_cases import sign_in
from trainer.use_cases.passwords import Passwords
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.work import NOBODY, Unit, Viewer, Work


@dataclass(frozen=True, slots=True)
class House:
    """What an app is made with."""

    settings: Settings
    work: Work
    bank: Bank
    passwords: Passwords


def house() -> House:
    """The current app's."""
    found: House = current_app.extensions["trainer"]
    return found


def own_address() -> str:
    """How people reach this site, without a slash at its end: as set, else as they did just now.

    What is sent to somebody else must not rest on the second: whoever asks can make it up.
    """
    return house().settings.base_url or request.url_root.rstrip("/")


def whole_address(page: str, **values: Any) -> str:
    """The whole address of a page of ours, to be copied or kept elsewhere."""
    return own_address() + url_for(page, **values)


def viewer() -> Viewer:
    """Who is looking at this page."""
    return current_user.viewer if current_user.is_authenticated else NOBODY


def prove(password: str | None) -> Proven:
    """Whoever is looking, once they have typed their password again. Raises InputProblem."""
    here = house()
    return sign_in.prove(here.work, viewer(), here.passwords, password or "", clock.now())


@contextmanager
def reading() -> Iterator[Unit]:
    """A unit that only reads, for who is looking."""
    with house().work.reading(viewer()) as unit:
        yield unit


@contextmanager
def writing() -> Iterator[Unit]:
    """A unit for who is looking; it has committed when the block is left."""
    with house().work.writing(viewer()) as unit:
        yield unit


def today_here() -> date:
    """This day by the clock of the place that the visitor looks for; in UTC where it named none."""
    place = current_user.place
    return day_there(clock.now(), place.zone if place else "")
