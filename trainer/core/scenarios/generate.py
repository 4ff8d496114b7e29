"""The one door: family, seed and level to an item, the same on every machine."""

from collections.abc import Mapping

from trainer.core.draw import Draw
from trainer.core.items.harm import knowing_harm
from trainer.core.items.item import Heading, Item
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.knowledge.bank import Bank
from trainer.core.problems import InputProblem
from trainer.core.scenarios.case import LEVELS, Case
from trainer.core.scenarios.family import family as family_of

CHOSEN = ("choose_one", "choose_all")
MOST_TRIES = 400
PATIENT_TRIES = 12
"""Tries that may fail for the length of the key alone, and as many again for the longest."""


def _length_tells(item: Item, coins: tuple[float, float], both: bool) -> bool:
    """Whether the length of the key would tell it apart, over many seeds.

    Coins a seed (0..1 each) settle whether the longest option and the shortest are to be right,
    each as often as chance would have it; tries go on until they are. Options of one length tie.
    Without `both`, only the longest is looked at: some families have no short right answer.
    """
    if item.heading.type not in CHOSEN or not 0 < len(item.key) < len(item.options):
        return False
    length = {option.id: len(option.text) for option in item.options}
    share = len(item.key) / len(item.options)
    long_right, short_right = coins[0] < share, coins[1] < share
    if item.heading.type == "choose_one":  # one option cannot be both
        long_right, short_right = coins[0] < share, share <= coins[0] < 2 * share
    ends = ((max(length.values()), long_right), (min(length.values()), short_right))
    return any(
        _right_at(item, length, end) not in (None, wanted) for end, wanted in ends[: 1 + both]
    )


def _right_at(item: Item, length: Mapping[str, int], end: int) -> bool | None:
    """Whether the options of this length are right; None where some are and some are not."""
    right = {name in item.key for name, long in length.items() if long == end}
    return right.pop() if len(right) == 1 else None


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
    coin = Draw(family, seed, level, bank.version, "length")
    coins = coin.fraction(), coin.fraction()
    refused, spare = 0, None
    for attempt in range(MOST_TRIES):
        draw = Draw(family, seed, level, bank.version, attempt)
        case = Case(bank, bank.methods[found.method], recipe, draw, level)
        draft = found.reasoning.work_out(case)
        if draft is None:
            continue
        item = kind.compose(heading, draft, draw.branch("compose"))
        if kind.faults(item):
            continue
        patient = refused < 2 * PATIENT_TRIES
        if not patient or not _length_tells(item, coins, refused < PATIENT_TRIES):
            return knowing_harm(bank, item)
        refused, spare = refused + 1, item
    if spare is not None:
        return knowing_harm(bank, spare)
    raise RuntimeError(f"{family}: no sound item from seed {seed}")
