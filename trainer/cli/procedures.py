"""`trainer procedures`: how services are done, and what is never done."""

import click

from trainer.cli.bank_rows import known_method, procedure_row
from trainer.cli.lines import print_lines, wrong_input_ends
from trainer.use_cases.open_bank import open_bank


@click.command(name="procedures", epilog="Example: trainer procedures --method fusion_bond")
@click.option("--method", help="Only procedures of this method.")
def command(method: str | None) -> None:
    """Print procedures as JSON Lines, each with the pairs [before, after] that bind.

    Removals also name what may take the hair off (`agents`) and what must not.
    """
    with wrong_input_ends():
        bank = open_bank()
        known_method(bank, method)
        procedures = (p for p in bank.procedures.values() if method in (None, p.method))
        print_lines(procedure_row(bank, procedure) for procedure in procedures)
