"""`trainer bank`: check the content, and publish its schema."""

import click

from trainer.cli.lines import print_json
from trainer.core.knowledge.schema import bank_schema
from trainer.use_cases.open_bank import open_bank

COUNTED = (
    "methods",
    "facts",
    "rules",
    "procedures",
    "misconceptions",
    "criteria",
    "differences",
    "products",
    "troubles",
    "home_care",
    "emergency_removals",
    "sources",
    "attributes",
    "item_models",
)


@click.command(name="bank", epilog="Example: trainer bank")
@click.option("--schema", is_flag=True, help="Print the JSON Schema of the bank's entries instead.")
def command(schema: bool) -> None:
    """Check the whole question bank; print its version and what it holds.

    Ends with 2 and every complaint (file, entry, field) if anything does not hold.
    """
    if schema:
        print_json(bank_schema())
        return
    bank = open_bank()
    print_json({"version": bank.version} | {n: len(getattr(bank, n)) for n in COUNTED})
