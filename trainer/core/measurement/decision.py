"""Passed or not: the plain cut, unresolved critical errors, and how sure the decision is."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from trainer.core.measurement.ability import Ability, chance_above, eap, grid
from trainer.core.measurement.priors import Difficulty
from trainer.core.measurement.response_model import Floats, ability_for_share

ROUNDING = 1e-9
BORDERLINE = 0.8


@dataclass(frozen=True, slots=True)
class Decision:
    """What a sitting comes to.

    `reached_cut`: raw score at or above `needed`. `confidence`: probability 0..1 that the
    person's ability lies on the side of the cut that the raw score says. `borderline`: that
    probability is under 0.8.
    """

    passed: bool
    reached_cut: bool
    score: int
    needed: int
    confidence: float

    @property
    def borderline(self) -> bool:
        """Whether the score lies too near the cut to be sure."""
        return self.confidence < BORDERLINE


def raw_needed(items: int, share: float) -> int:
    """The raw score needed: the least whole number that is at least share x items.

    Raises ValueError if share is not in (0, 1] or there are no items.
    """
    if not 0 < share <= 1 or items < 1:
        raise ValueError(f"{items=}, {share=}")
    return ceil(share * items - ROUNDING)


@dataclass(frozen=True, slots=True)
class Equated:
    """A common cut on one form: the raw score `needed`, and the `ability` behind it [theta]."""

    needed: int
    ability: float


def decide(
    right: tuple[bool, ...],
    families: tuple[Difficulty, ...],
    share: float,
    unresolved: int,
    equated: Equated | None = None,
    centre: float = 0.0,
) -> Decision:
    """Decide on a form: passed = raw cut reached and no unresolved critical error.

    Parameters
    ----------
    right : for each item of the form; what was not answered is not right
    families : the parameters behind each item, same length
    share : cut as a share of the items, above what guessing gives, below 1
    unresolved : critical errors that fresh siblings did not resolve, >= 0
    equated : the cut of a panel on this form, in place of the share
    centre : mean ability of those who are assessed, as the calibration found it [theta]; SD 1

    The confidence speaks of the cut alone, not of critical errors: the posterior N(mean, sd) of
    ability, from which answers were right, against the ability whose expected score is the cut
    (Rudner 2001, Practical Assessment, Research & Evaluation 7(14), with posterior in place of
    likelihood). It may be below 0.5 where the right answers are to families that tell little.

    Raises ValueError if lengths differ, there are no items, or as `cut_on`.
    """
    if len(right) != len(families):
        raise ValueError(f"{len(right)=}, {len(families)=}")
    cut = cut_on(families, share, equated)
    needed, score = cut.needed, sum(right)
    above = chance_above(shown(right, families, centre), cut.ability)
    reached = score >= needed
    return Decision(
        reached and unresolved == 0, reached, score, needed, above if reached else 1 - above
    )


def cut_on(families: Sequence[Difficulty], share: float, equated: Equated | None = None) -> Equated:
    """The cut on a form: a panel's where it was equated, else what the share asks for.

    Parameters as `decide`, errors as `raw_needed` and `response_model.ability_for_share`.
    """
    return equated or Equated(
        raw_needed(len(families), share), ability_for_share(share, *parameters(families))
    )


def shown(right: Sequence[bool], families: Sequence[Difficulty], centre: float = 0.0) -> Ability:
    """The ability that a form's answers alone show, before them N(centre, 1): as `decide`."""
    slopes, b, floor = parameters(families)
    mean, sd = eap(np.array([right], dtype=float), slopes, b - centre, floor, grid())
    return Ability(float(mean[0]) + centre, max(float(sd[0]), ROUNDING))


def parameters(families: Sequence[Difficulty]) -> tuple[Floats, Floats, Floats]:
    """Slopes (uncertainty averaged over), difficulties and floors of families, each (families,)."""
    return (
        np.array([family.slope for family in families]),
        np.array([family.b for family in families]),
        np.array([family.floor for family in families]),
    )
