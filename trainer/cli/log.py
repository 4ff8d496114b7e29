"""`trainer log`: the chained log of events that matter."""

import click

from trainer.cli.instance import instance_at, instance_work
from trainer.cli.lines import answer_no, print_json, print_lines
from trainer.use_cases.keep_log import check_sealed, exported
from trainer.use_cases.seal_log import LogSeal


@click.group(name="log", epilog="Example: trainer log verify")
def command() -> None:
    """The chained log of sign-offs, decisions, issues, withdrawals and changes of role."""


@command.command("verify")
def verify() -> None:
    """Check every link, what the events say, and the signed head kept outside the database.

    Prints JSON: events, whole, breaks, notes. Ends with 1 if the log does not hold.
    """
    with instance_at() as (work, settings), work.snapshot() as unit:
        found = check_sealed(unit, LogSeal(settings.instance))
    told = {"events": found.events, "whole": not found.breaks}
    print_json({**told, "breaks": list(found.breaks), "notes": list(found.notes)})
    if found.breaks:
        answer_no()


@command.command("export")
def export() -> None:
    """Print every event as JSON Lines, in order, with the hashes that chain them."""
    with instance_work() as work, work.snapshot() as unit:
        print_lines(exported(unit))
