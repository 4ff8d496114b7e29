"""`trainer procedures`: how services are done, what is never done, and what else is told."""

import click

from trainer.cli.bank_rows import care_row, known_method, procedure_row, trouble_row
from trainer.cli.lines import print_lines
from trainer.use_cases.open_bank import open_bank


@click.command(name="procedures", epilog="Example: trainer procedures --method fusion_bond")
@click.option("--method", help="Only procedures of this method.")
def command(method: str | None) -> None:
    """Print procedures as JSON Lines, each with the pairs [before, after] that bind.

    Removals also name what may take the hair off (`agents`) and what must not. After the
    procedures: what to do when something goes wrong ({"kind": "trouble"}), and care at home
    ({"kind": "home_care"}).
    """
    bank = open_bank()
    known_method(bank, method)
    procedures = (p for p in bank.procedures.values() if method in (None, p.method))
    print_lines(procedure_row(bank, procedure) for procedure in procedures)
    rows = [trouble_row(bank, one) for one in bank.troubles.values()]
    print_lines(row for row in rows if method in (None, *row["methods"]))
    lines = [care_row(bank, one) for one in bank.home_care.values()]
    print_lines(row for row in lines if method in (None, *row["holds_for"], *row["wrong_for"]))
