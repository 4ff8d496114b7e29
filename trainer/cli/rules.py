"""`trainer rules`: what leads to which verdict."""

import click

from trainer.cli.bank_rows import known_method, rule_row
from trainer.cli.lines import print_lines
from trainer.use_cases.open_bank import open_bank


@click.command(name="rules", epilog="Example: trainer rules --method micro_link")
@click.option("--method", help="Only rules that speak of this method.")
def command(method: str | None) -> None:
    """Print rules as JSON Lines.

    The verdict for a method is the highest that any rule gives, in the order go_ahead, adapt,
    wait, refer, decline; go_ahead where none speaks. A rule speaks when every condition in
    `when` holds and not every one in `unless`, nor every one that `silent_when` has for the
    method. A value that is not known meets no condition;
    defaults are in `trainer advise --schema`.
    """
    bank = open_bank()
    known_method(bank, method)
    rules = bank.rules_of(method) if method else tuple(bank.rules.values())
    print_lines(rule_row(bank, rule) for rule in rules)
