"""The one door: family, seed and level to an item, the same on every machine."""

from trainer.core.draw import Draw
from trainer.core.items.item import Heading, Item
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.knowledge.bank import Bank
from trainer.core.problems import InputProblem
from trainer.core.scenarios.case import LEVELS, Case
from trainer.core.scenarios.family import family as family_of

MOST_TRIES = 100


def _length_tells(item: Item, coin: float) -> bool:
    """Whether the key is the longest option more, or less, often than chance would have it.

    One coin a seed (0..1) settles whether the key should be the longest; tries go on until it is.
    """
    if item.heading.type != "choose_one":
        return False
    length = {option.id: len(option.text) for option in item.options}
    longest = length[item.key[0]] >= max(length.values())
    if len(set(length.values())) == 1:
        return False
    return longest != (coin < 1 / len(item.options))


def generate(bank: Bank, family: str, seed: int, level: str = "working") -> Item:
    """The item of a family and seed.

    A try that makes no sound item is followed by another, settled by the same seed. Raises
    InputProblem for an unknown family or level, RuntimeError if no try succeeds.
    """
    found = family_of(bank, family)
    if level not in LEVELS:
        raise InputProblem(f"{level!r} is no level", "level", f"Use one of {', '.join(LEVELS)}.")
    recipe, kind = found.recipe, ITEM_TYPES[found.recipe.type]
    heading = Heading(
        f"{family}:{seed}:{level}:{bank.version}",
        family,
        found.method,
        recipe.service,
        recipe.topic,
        recipe.type,
        level,
        bank.version,
    )
    coin = Draw(family, seed, level, bank.version, "longest").fraction()
    for attempt in range(MOST_TRIES):
        draw = Draw(family, seed, level, bank.version, attempt)
        case = Case(bank, bank.methods[found.method], recipe, draw, level)
        draft = found.reasoning.work_out(case)
        if draft is None:
            continue
        item = kind.compose(heading, draft, draw.branch("compose"))
        patient = attempt < MOST_TRIES // 2
        if not kind.faults(item) and not (patient and _length_tells(item, coin)):
            return item
    raise RuntimeError(f"{family}: no sound item from seed {seed}")
