"""`trainer advise`: verdict, reasons and plan for a client on paper."""

from datetime import date, datetime

import click

from trainer import clock
from trainer.cli.lines import print_json, read_json
from trainer.core.advice.advise import advice_json, advise
from trainer.core.advice.profile import profile_schema, read_profile
from trainer.core.problems import InputProblem
from trainer.use_cases.open_bank import open_bank


@click.command(name="advise", epilog="Example: trainer advise client.json --on 2026-03-03")
@click.argument("profile", required=False, metavar="PROFILE.json")
@click.option("--schema", is_flag=True, help="Print the JSON Schema of a client profile instead.")
@click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    help="The day the client is seen (today if not given).",
)
def command(profile: str | None, schema: bool, on: datetime | None) -> None:
    """Advise on a client: a verdict per method, with reasons, dates and a plan.

    PROFILE.json is an object of attributes, or - for standard input. A training aid: maker's
    instructions, local law and licensing come first.
    """
    bank = open_bank()
    if schema:
        print_json(profile_schema(bank))
        return
    if profile is None:
        raise InputProblem("is missing", "PROFILE.json", "Name a file, or - for input.")
    day: date = on.date() if on else clock.today()
    print_json(advice_json(advise(bank, read_profile(bank, read_json(profile)), day)))
