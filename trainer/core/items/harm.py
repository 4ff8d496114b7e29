"""Which wrong beliefs injure nobody: their holder is more careful than needed."""

from dataclasses import replace

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank


def knowing_harm(bank: Bank, item: Item) -> Item:
    """The item with those of its misconceptions that are only too careful, as the bank has them."""
    ideas = dict.fromkeys(item.misconceptions.values())
    careful = [
        idea for idea in ideas if (held := bank.misconceptions.get(idea)) and held.too_careful
    ]
    return replace(item, too_careful=tuple(careful)) if careful else item
