"""`trainer facts`: what is known, with its sources; and what of it has changed on this site."""

import click

from trainer import clock
from trainer.cli.bank_rows import fact_row, known_method
from trainer.cli.instance import instance_work
from trainer.cli.lines import print_lines
from trainer.core.knowledge.words import TOPICS
from trainer.use_cases import note_facts, see_changes
from trainer.use_cases.open_bank import open_bank


@click.command(name="facts", epilog="Example: trainer facts --method tape_in --topic timings")
@click.option("--method", help="Only facts that hold for this method.")
@click.option("--topic", type=click.Choice(TOPICS), help="Only facts on this topic.")
@click.option(
    "--changed",
    is_flag=True,
    help="Instead, safety facts that changed on this site: old and new words, what leans on them.",
)
def command(method: str | None, topic: str | None, changed: bool) -> None:
    """Print facts as JSON Lines."""
    bank = open_bank()
    known_method(bank, method)
    if changed:
        _print_changes(method, topic)
        return
    facts = bank.facts_of(method) if method else tuple(bank.facts.values())
    print_lines(fact_row(fact) for fact in facts if topic in (None, fact.topic))


def _print_changes(method: str | None, topic: str | None) -> None:
    with instance_work() as work:
        note_facts.note(work, open_bank(), clock.now())
        with work.reading() as unit:
            rows = see_changes.every(unit)
    print_lines(
        row
        for row in rows
        if (method is None or method in row["methods"])
        and topic in (None, (row["after"] or row["before"])["topic"])
    )
