"""`trainer statements`: learning events as xAPI statements, to a file or to a store."""

from dataclasses import asdict
from datetime import UTC, date, datetime, time, timedelta

import click

from trainer import clock
from trainer.cli.instance import instance_at
from trainer.cli.lines import answer_no, print_lines
from trainer.core.problems import InputProblem
from trainer.use_cases import send_learning, tell_learning
from trainer.use_cases.fetch_outside import Door
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.work import Unit, Viewer

A_LONG_TIME_AGO = date(2000, 1, 1)
DAY = click.DateTime(["%Y-%m-%d"])


@click.group(name="statements", epilog="Example: trainer statements write --organisation ID")
def command() -> None:
    """Learning events as xAPI statements: write them out, or send them on."""


@command.command()
@click.option("--organisation", required=True, help="Its id.")
@click.option("--since", type=DAY, help="First day; all from the beginning without it.")
@click.option("--until", type=DAY, help="Last day; today without it.")
def write(organisation: str, since: datetime | None, until: datetime | None) -> None:
    """Print an organisation's statements, as JSON Lines. The same days give the same lines."""
    first = since.date() if since else A_LONG_TIME_AGO
    last = until.date() if until else clock.today()
    with instance_at() as (work, settings):
        with work.reading() as unit:
            viewer = _teller(unit, organisation)
        with work.reading(viewer) as unit:
            home = tell_learning.home_of(unit, settings.base_url)
            ends = last + timedelta(days=1)
            print_lines(tell_learning.tell(unit, home, _begin(first), _begin(ends)))


@command.command()
def send() -> None:
    """Send what is new to the stores that administrators have named. Exit 1 if any failed.

    Let a timer run it every few minutes; what could not be sent waits for the next time.
    """
    with instance_at() as (work, settings):
        done = send_learning.send_all(
            work, settings.keys, settings.base_url, Door().send, clock.now()
        )
    print_lines(map(asdict, done))
    if any(one.said for one in done):
        answer_no()


def _teller(unit: Unit, organisation: str) -> Viewer:
    try:
        return tell_learning.teller(unit, organisation)
    except NotFound:
        what = "is no organisation here"
        raise InputProblem(what, "--organisation", "See `trainer users organisations`.") from None


def _begin(day: date) -> datetime:
    return datetime.combine(day, time(), UTC)
