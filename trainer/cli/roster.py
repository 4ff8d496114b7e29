"""`trainer roster`: people in and out by OneRoster 1.2 files."""

from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import Any

import click

from trainer import clock
from trainer.cli.instance import inside, tell_asked
from trainer.cli.lines import answer_no, print_json
from trainer.core.exchange.oneroster import read_roster
from trainer.core.exchange.oneroster_tables import Fault
from trainer.core.problems import InputProblem
from trainer.settings import read_settings
from trainer.use_cases import give_roster, take_roster
from trainer.use_cases.plan_roster import KINDS, Plan
from trainer.use_cases.send_offers import JOIN

FILE = click.argument("file", type=click.Path(dir_okay=False, path_type=Path))


@click.group(name="roster", epilog="Example: trainer roster check people.zip --organisation ID")
def command() -> None:
    """Take people in from OneRoster 1.2 files, and give them out."""


@command.command("check", epilog="Example: trainer roster check people.zip")
@FILE
@click.option("--organisation", default="", help="Say what would change there too.")
def check(file: Path, organisation: str) -> None:
    """Check a file without taking it. Ends with 1 if it cannot be taken."""
    content = _read(file)
    if not organisation:
        _told(read_roster(content, clock.now().date())[1], {})
        return
    with inside(organisation, "administrator") as unit:
        found = take_roster.look(unit, content, clock.now())
    _told(found.faults, _counted(found.plan))


@command.command("take", epilog="Example: trainer roster take people.zip --organisation ID")
@FILE
@click.option("--organisation", required=True, help="The organisation's id.")
def take(file: Path, organisation: str) -> None:
    """Take everything in it, or nothing; prints who was asked and the path of each one's link.

    Whoever is new belongs here once they have said yes. Where letters are sent, they get one.
    """
    content = _read(file)
    with inside(organisation, "administrator") as unit:
        found = take_roster.look(unit, content, clock.now())
        if found.faults:
            _told(found.faults, {})
        lasts = timedelta(days=read_settings().invitation_days)
        asked = take_roster.take(unit, content, lasts, clock.now())
    tell_asked(organisation, {one.email: one.token for one in asked})
    told = [{"name": i.name, "email": i.email, "link": f"{JOIN}/{i.token}"} for i in asked]
    print_json({**_counted(found.plan), "asked": told})


@command.command("give", epilog="Example: trainer roster give people.zip --organisation ID")
@FILE
@click.option("--organisation", required=True, help="The organisation's id.")
def give(file: Path, organisation: str) -> None:
    """Write everybody of an organisation to a file."""
    with inside(organisation, "administrator") as unit:
        content = give_roster.give(unit, clock.now())
        try:
            file.write_bytes(content)
        except OSError:
            raise InputProblem("cannot be written", str(file), "Choose another file.") from None


def _read(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError:
        raise InputProblem("cannot be read", str(file), "Check the file's name.") from None


def _told(faults: Sequence[Fault], more: dict[str, Any]) -> None:
    """Print whether a file can be taken; ends with 1 if not."""
    rows = [{"file": f.file, "line": f.line, "column": f.column, "what": f.what} for f in faults]
    print_json({"sound": not rows, "faults": rows, **more})
    if rows:
        answer_no()


def _counted(plan: Plan | None) -> dict[str, Any]:
    if plan is None:
        return {}
    rows = {
        kind: [
            {"name": s.name, "email": s.email, "before": sorted(s.before), "roles": sorted(s.roles)}
            | {"joins": s.joins, "leaves": s.leaves, "new_name": s.new_name or None}
            for s in plan.of(kind)
        ]
        for kind in KINDS
    }
    return {**rows, "new_groups": list(plan.new_groups), "notes": list(plan.notes)}
