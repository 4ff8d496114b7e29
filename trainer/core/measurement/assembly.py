"""Draw the families of one form from a blueprint's counts."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trainer.core.draw import Draw


@dataclass(frozen=True, slots=True)
class Candidate:
    """A family that a form may use. `enemies` may not stand in the same form."""

    id: str
    topic: str
    critical: bool
    enemies: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Form:
    """Family ids in the order of the form (one may stand more than once), and unmet counts."""

    families: tuple[str, ...]
    unmet: tuple[str, ...] = ()


def assemble(
    candidates: Sequence[Candidate], counts: Mapping[str, int], critical_least: int, draw: Draw
) -> Form:
    """Draw a form: the counts of each topic, no enemies together, families used evenly.

    Parameters
    ----------
    candidates : the families there are
    counts : topic -> items wanted, >= 0
    critical_least : fewest critical items, >= 0
    draw : settles every choice

    Returns
    -------
    Form. A count that cannot be met is named in `unmet`; nothing is raised.
    """
    usable = _without_enemies(draw.branch("enemies").shuffled(candidates))
    chosen: list[Candidate] = []
    unmet: list[str] = []
    for topic, wanted in counts.items():
        there = [one for one in usable if one.topic == topic]
        if wanted and not there:
            unmet.append(f"{topic}: {wanted} wanted, no questions there")
        else:
            chosen += _evenly(there, wanted)
    chosen = _with_critical(chosen, usable, critical_least)
    critical = sum(one.critical for one in chosen)
    if critical < critical_least:
        unmet.append(f"critical: {critical_least} wanted, {critical} there")
    return Form(tuple(one.id for one in draw.branch("order").shuffled(chosen)), tuple(unmet))


def _without_enemies(shuffled: Sequence[Candidate]) -> list[Candidate]:
    """The first of each set of enemies stays; a critical one before another."""
    kept: list[Candidate] = []
    for one in sorted(shuffled, key=lambda each: not each.critical):
        if not any(other.id in one.enemies or one.id in other.enemies for other in kept):
            kept.append(one)
    stay = {one.id for one in kept}
    return [one for one in shuffled if one.id in stay]


def _evenly(families: Sequence[Candidate], wanted: int) -> list[Candidate]:
    return [families[n % len(families)] for n in range(wanted)]


def _with_critical(
    chosen: list[Candidate], usable: Sequence[Candidate], least: int
) -> list[Candidate]:
    """Swap within topics, most used for least used, until enough are critical."""
    out = list(chosen)
    while sum(one.critical for one in out) < least:
        uses = Counter(one.id for one in out)
        swaps = [
            (uses[new.id] - uses[old.id], place, new)
            for place, old in enumerate(out)
            if not old.critical
            for new in usable
            if new.critical and new.topic == old.topic
        ]
        if not swaps:
            return out
        _, place, new = min(swaps, key=lambda swap: swap[:2])
        out[place] = new
    return out
