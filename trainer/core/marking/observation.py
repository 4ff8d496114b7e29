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
    """`met`: the service is signed off. The counts speak of the criteria that are not critical."""

    met: bool
    critical_missed: tuple[Criterion, ...]
    others_missed: tuple[Criterion, ...]
    others: int
    others_needed: int

    @property
    def others_met(self) -> int:
        """How many of the criteria that are not critical were met."""
        return self.others - len(self.others_missed)


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
    missed = [one for one in criteria if one.id not in met]
    critical = tuple(one for one in missed if one.critical)
    others_missed = tuple(one for one in missed if not one.critical)
    others = sum(not one.critical for one in criteria)
    needed = ceil(share * others - SLACK)
    enough = others - len(others_missed) >= needed
    return Outcome(not critical and enough, critical, others_missed, others, needed)
