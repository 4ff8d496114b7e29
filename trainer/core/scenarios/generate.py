"""The one door: family, seed and level to an item, the same on every machine."""

from collections.abc import Iterator, Sequence
from math import sqrt

from trainer.core.draw import Draw
from trainer.core.items.harm import knowing_harm
from trainer.core.items.item import Draft, Heading, Item, Offer, Sketch
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.knowledge.bank import Bank
from trainer.core.problems import InputProblem
from trainer.core.scenarios.case import LEVELS, Case
from trainer.core.scenarios.family import Family
from trainer.core.scenarios.family import family as family_of
from trainer.core.scenarios.size import too_long

CHOSEN = ("choose_one", "choose_all")
MOST_TRIES = 400
PATIENT_TRIES = 12
"""Tries that may fail for the length of the key alone, and as many again for the longest."""
STEPS = ((sqrt(5) - 1) / 2, sqrt(2) - 1)
"""No whole numbers of these and of 1 add up to nothing: the pair fills the square evenly."""


def _coins(draw: Draw, seed: int) -> tuple[float, float]:
    """Two numbers in 0..1 for a seed, spread evenly over any run of seeds from a drawn start.

    Kronecker's sequence, start + seed x step, whole parts dropped: so the longest answer is the
    right one as often as chance has it in a thousand questions, not only in the long run (Kuipers
    and Niederreiter 1974, Uniform Distribution of Sequences, chapter 2.3).
    """
    starts = draw.fraction(), draw.fraction()
    one, other = ((start + seed * step) % 1 for start, step in zip(starts, STEPS, strict=True))
    return one, other


def _length_tells(
    type: str, offers: Sequence[Offer], coins: tuple[float, float], both: bool
) -> bool:
    """Whether the length of the key would tell it apart, over many seeds.

    Coins a seed (0..1 each) settle whether the longest option and the shortest are to be right,
    each as often as chance would have it; tries go on until they are. Without `both`, only the
    longest is looked at: some families have no short right answer.
    """
    right = sum(offer.right for offer in offers)
    if type not in CHOSEN or not 0 < right < len(offers):
        return False
    lengths = [len(offer.text) for offer in offers]
    ends = tuple(
        [offer for offer, long in zip(offers, lengths, strict=True) if long == end]
        for end in (max(lengths), min(lengths))
    )
    wanted = _wanted(type, offers, coins, ends)
    return any(
        _right_among(type, offers, there) not in (None, want)
        for there, want in tuple(zip(ends, wanted, strict=True))[: 1 + both]
    )


def _wanted(
    type: str,
    offers: Sequence[Offer],
    coins: tuple[float, float],
    ends: tuple[Sequence[Offer], ...],
) -> tuple[bool, bool]:
    """Whether the longest option and the shortest are to be right.

    Where one is right, it cannot be both, and options that tie share the chance that a guess
    among them hits: so many of them, so many times as often is the right one to be there.
    """
    count = len(offers)
    if type == "choose_one":
        high = len(ends[0]) / count
        return coins[0] < high, high <= coins[0] < high + len(ends[1]) / count
    share = sum(offer.right for offer in offers) / count
    return coins[0] < share, coins[1] < share


def _right_among(type: str, offers: Sequence[Offer], there: Sequence[Offer]) -> bool | None:
    """Whether these options of one length are right; None where that tells nothing."""
    right = [offer.right for offer in there]
    if type == "choose_one":
        return any(right) if len(there) < len(offers) else None
    return right[0] if len(set(right)) == 1 else None


def generate(bank: Bank, family: str, seed: int, level: str = "working") -> Item:
    """The item of a family and seed.

    A try that makes no sound item is followed by another, settled by the same seed. Raises
    InputProblem for an unknown family or level, RuntimeError if no try succeeds.
    """
    found = family_of(bank, family)
    if level not in LEVELS:
        raise InputProblem(f"{level!r} is no level", "level", f"Use one of {', '.join(LEVELS)}.")
    kind = ITEM_TYPES[found.recipe.type]
    for sketch, draw in _kept(bank, found, seed, level):
        item = kind.compose(
            _heading(bank, found, seed, level), sketch.draft(), draw.branch("compose")
        )
        if not kind.faults(item) and not too_long(item):
            return knowing_harm(bank, item)
    raise RuntimeError(f"{family}: no sound item from seed {seed}")


def _heading(bank: Bank, found: Family, seed: int, level: str) -> Heading:
    recipe = found.recipe
    return Heading(
        f"{found.id}:{seed}:{level}:{bank.version}",
        found.id,
        found.method,
        recipe.service,
        recipe.topic,
        recipe.type,
        level,
        bank.version,
    )


def _kept(bank: Bank, found: Family, seed: int, level: str) -> Iterator[tuple[Sketch, Draw]]:
    """The sketches that will do, each with its stream of chance; at last one put aside."""
    recipe, method = found.recipe, bank.methods[found.method]
    kind = ITEM_TYPES[recipe.type]
    start = Draw(found.id, seed, level, bank.version)
    coins = _coins(Draw("length", found.id, level, bank.version), seed)
    refused: list[tuple[Sketch, Draw]] = []
    for attempt in range(MOST_TRIES):
        draw = start.branch(attempt)
        sketch = _sketch(found.reasoning.work_out(Case(bank, method, recipe, draw, level)))
        if sketch is None or kind.unfit(sketch.offers):
            continue
        tries = len(refused)
        patient = tries < 2 * PATIENT_TRIES
        if patient and _length_tells(recipe.type, sketch.offers, coins, tries < PATIENT_TRIES):
            refused.append((sketch, draw))
        else:
            yield sketch, draw
    yield from refused[-1:]


def _sketch(made: Draft | Sketch | None) -> Sketch | None:
    """A draft that is worked out already is its own sketch."""
    return Sketch(made.offers, lambda: made) if isinstance(made, Draft) else made
