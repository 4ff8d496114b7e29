"""What a watched service comes to: ticked criteria -> met or not yet, and why."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import ceil

from trainer.core.knowledge.criterion import Criterion
from trainer.core.problems import InputProblem

SLACK = 1e-9
"""Keeps a share such as 0.8 of 5 from being rounded up past 4 by floating point."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """`met`: signed off. `others_needed`: so many of those that are not critical must be met."""

    met: bool
    critical_missed: tuple[Criterion, ...]
    others_needed: int


def outcome(criteria: Sequence[Criterion], met: Collection[str], share: float) -> Outcome:
    """Decide an observation.

    Parameters
    ----------
    criteria : The sheet: every criterion of one method and service, at least one.
    met : Ids of the criteria that the observer ticked.
    share : Share of the criteria that are not critical that must be met, 0..1.

    Returns
    -------
    Met when every critical criterion is met, and of the others at least `share`, rounded up to
    whole criteria.

    Raises
    ------
    InputProblem : If the sheet is empty, or a tick is not of this sheet.
    ValueError : If `share` is outside 0..1.
    """
    if not 0 <= share <= 1:
        raise ValueError(f"{share=}")
    if not criteria:
        raise InputProblem("has no criteria", "sheet", "Nothing can be signed off here.")
    strange = set(met) - {one.id for one in criteria}
    if strange:
        raise InputProblem(f"{min(strange)} is not on this sheet", "criteria", "Load it again.")
    missed = tuple(one for one in criteria if one.critical and one.id not in met)
    others = [one for one in criteria if not one.critical]
    needed = ceil(share * len(others) - SLACK)
    enough = sum(one.id in met for one in others) >= needed
    return Outcome(not missed and enough, missed, needed)
