"""`trainer results`: an organisation's results as CSV."""

import click

from trainer import clock
from trainer.cli.instance import inside
from trainer.core.problems import InputProblem, NotFound
from trainer.use_cases.give_results import Wanted, give
from trainer.use_cases.open_bank import open_bank


@click.command(
    name="results", epilog="Example: trainer results --organisation ID --method tape_in > all.csv"
)
@click.option("--organisation", required=True, help="The organisation's id.")
@click.option("--method", default="", help="Only this method.")
@click.option("--group", default="", help="Only this group, by its id.")
@click.option("--whole", is_flag=True, help="Whole methods only, no line a topic.")
def command(organisation: str, method: str, group: str, whole: bool) -> None:
    """Print results as CSV: a line a person, method and topic."""
    with inside(organisation, "instructor") as unit:
        wanted = Wanted(method, group, not whole)
        try:
            click.echo(give(unit, open_bank(), wanted, clock.now()), nl=False)
        except NotFound:
            raise InputProblem("names no group", "--group", "Give a group's id.") from None
