"""`trainer log`: the chained log of events that matter."""

import click

from trainer.cli.lines import answer_no, print_json, wrong_input_ends
from trainer.settings import prepare, read_settings
from trainer.use_cases.keep_log import check_log
from trainer.use_cases.work import Work


@click.group(name="log", epilog="Example: trainer log verify")
def command() -> None:
    """The chained log of sign-offs, decisions, issues, withdrawals and changes of role."""


@command.command("verify")
def verify() -> None:
    """Check every link of the chain, and what the events say. Ends with 1 if it does not hold."""
    with wrong_input_ends():
        work = Work(prepare(read_settings()).database)
        work.prepare()
        with work.reading() as unit:
            count, found = check_log(unit)
    print_json({"events": count, "whole": not found, "breaks": found})
    if found:
        answer_no()
