"""The one door: family, seed and level to an item, the same on every machine."""

from trainer.core.draw import Draw
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
    each as often as chance would have it; tries go on until they are. Without `both`, only the
    longest is looked at: some families have no short right answer.
    """
    if item.heading.type not in CHOSEN or not 0 < len(item.key) < len(item.options):
        return False
    length = {option.id: len(option.text) for option in item.options}
    ends = tuple(
        [name for name, long in length.items() if long == end]
        for end in (max(length.values()), min(length.values()))
    )
    wanted = _wanted(item, coins, ends)
    return any(
        _right_among(item, there) not in (None, want)
        for there, want in tuple(zip(ends, wanted, strict=True))[: 1 + both]
    )


def _wanted(
    item: Item, coins: tuple[float, float], ends: tuple[list[str], ...]
) -> tuple[bool, bool]:
    """Whether the longest option and the shortest are to be right.

    Where one is right, it cannot be both, and options that tie share the chance that a guess
    among them hits: so many of them, so many times as often is the right one to be there.
    """
    count = len(item.options)
    if item.heading.type == "choose_one":
        high = len(ends[0]) / count
        return coins[0] < high, high <= coins[0] < high + len(ends[1]) / count
    share = len(item.key) / count
    return coins[0] < share, coins[1] < share


def _right_among(item: Item, there: list[str]) -> bool | None:
    """Whether these options of one length are right; None where that tells nothing."""
    right = [name in item.key for name in there]
    if item.heading.type == "choose_one":
        return any(right) if len(there) < len(item.options) else None
    return right[0] if len(set(right)) == 1 else None


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
            return item
        refused, spare = refused + 1, item
    if spare is not None:
        return spare
    raise RuntimeError(f"{family}: no sound item from seed {seed}")
