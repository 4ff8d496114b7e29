"""`trainer misconceptions`: wrong beliefs, what they lead to and the facts that answer them."""

import click

from trainer.cli.bank_rows import known_method, misconception_row
from trainer.cli.lines import print_lines
from trainer.use_cases.open_bank import open_bank


@click.command(name="misconceptions", epilog="Example: trainer misconceptions --method tape_in")
@click.option("--method", help="Only wrong beliefs about this method.")
def command(method: str | None) -> None:
    """Print misconceptions as JSON Lines."""
    bank = open_bank()
    known_method(bank, method)
    wrong = bank.misconceptions_of(method) if method else bank.misconceptions.values()
    print_lines(misconception_row(bank, one) for one in wrong)
