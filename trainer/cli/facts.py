"""`trainer facts`: what is known, with its sources."""

import click

from trainer.cli.bank_rows import fact_row, known_method
from trainer.cli.lines import print_lines
from trainer.core.knowledge.words import TOPICS
from trainer.use_cases.open_bank import open_bank


@click.command(name="facts", epilog="Example: trainer facts --method tape_in --topic timings")
@click.option("--method", help="Only facts that hold for this method.")
@click.option("--topic", type=click.Choice(TOPICS), help="Only facts on this topic.")
def command(method: str | None, topic: str | None) -> None:
    """Print facts as JSON Lines."""
    bank = open_bank()
    known_method(bank, method)
    facts = bank.facts_of(method) if method else tuple(bank.facts.values())
    print_lines(fact_row(fact) for fact in facts if topic in (None, fact.topic))
