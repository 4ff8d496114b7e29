"""`trainer questions`: generated questions with their computed keys."""

from collections.abc import Iterator

import click

from trainer.cli.bank_rows import known_method
from trainer.cli.lines import print_lines, wrong_input_ends
from trainer.core.draw import Draw
from trainer.core.items.codec import as_contract
from trainer.core.items.item import Item
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import TOPICS
from trainer.core.problems import InputProblem
from trainer.core.scenarios.case import LEVELS
from trainer.core.scenarios.family import Family, families
from trainer.core.scenarios.generate import generate
from trainer.use_cases.open_bank import open_bank


@click.command(
    name="questions", epilog="Example: trainer questions --count 20 --seed 1 --method tape_in"
)
@click.option("--count", type=click.IntRange(1), required=True, help="How many.")
@click.option(
    "--seed", type=int, required=True, help="Settles every draw: same seed, same questions."
)
@click.option("--method", help="Only this method.")
@click.option("--topic", type=click.Choice(TOPICS), help="Only this topic.")
@click.option("--type", "type_", type=click.Choice(sorted(ITEM_TYPES)), help="Only this type.")
@click.option("--level", type=click.Choice(LEVELS), default="working", show_default=True)
def command(
    count: int, seed: int, method: str | None, topic: str | None, type_: str | None, level: str
) -> None:
    """Print questions as JSON Lines, each with key, explanation, facts and givens."""
    with wrong_input_ends():
        bank = open_bank()
        known_method(bank, method)
        found = families(bank, method, topic, type_)
        if not found:
            raise InputProblem("no questions fit", "--method, --topic, --type", "Ask for less.")
        print_lines(as_contract(item) for item in _items(bank, found, count, seed, level))


def _items(
    bank: Bank, found: tuple[Family, ...], count: int, seed: int, level: str
) -> Iterator[Item]:
    """Families in turn, in a drawn order, each time with a seed of its own."""
    order = Draw("questions", seed).shuffled(found)
    for number in range(count):
        family = order[number % len(order)]
        yield generate(bank, family.id, Draw("question", seed, number).below(2**31), level)
