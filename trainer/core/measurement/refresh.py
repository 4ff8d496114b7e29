"""A refresh set: a shorter assessment for whoever renews in time and has kept in practice."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil, floor, isinf

from trainer.core.measurement.ability import Band
from trainer.core.measurement.blueprint import Blueprint
from trainer.core.measurement.requirement import Range

ROUNDING = 1e-9
NAME = " refresh"
"""Ends the name of a blueprint that was shortened."""


@dataclass(frozen=True, slots=True)
class Recent:
    """Recent practice of one method: where it stands, how many answers, any critical error."""

    band: Band
    answers: int
    critical_errors: int


@dataclass(frozen=True, slots=True)
class Shortening:
    """`share` of the full assessment's items; `short_share` for recent practice that is sound."""

    share: float
    short_share: float
    least_answers: int


def sound(recent: Recent, least_answers: int) -> bool:
    """Whether recent practice says enough, and that it is above the standard and did no harm."""
    enough = recent.answers >= least_answers
    return enough and recent.band == "above" and recent.critical_errors == 0


def shortened(blueprint: Blueprint, rule: Shortening, recent: Recent) -> Blueprint:
    """The blueprint of a refresh set.

    Parameters
    ----------
    blueprint : of the full assessment
    rule, recent : shares in (0, 1], answers 0 or more

    Returns
    -------
    The same topics, cut and number of critical items; fewer items, but never so few that the
    critical ones no longer fit beside the supporting topics (`rest_share`, which hold few of
    them); minutes in proportion, rounded up. Its name ends in ' refresh'.
    """
    share = rule.short_share if sound(recent, rule.least_answers) else rule.share
    least = ceil(blueprint.critical_least / (1 - blueprint.rest_share) - ROUNDING)
    items = min(max(least, ceil(share * blueprint.items - ROUNDING)), blueprint.items)
    minutes = ceil(blueprint.minutes * items / blueprint.items - ROUNDING)
    part = items / blueprint.items
    words = None if blueprint.words_most is None else blueprint.words_most * part
    return replace(
        blueprint,
        name=blueprint.name + NAME,
        items=items,
        minutes=minutes,
        services=_scaled(blueprint.services, part),
        types=_scaled(blueprint.types, part),
        words_most=words,
    )


def _scaled(ranges: Mapping[str, Range], part: float) -> dict[str, Range]:
    """Ranges of a smaller form: the least rounded down, the most up."""
    return {
        name: (float(floor(least * part)), most if isinf(most) else ceil(most * part - ROUNDING))
        for name, (least, most) in ranges.items()
    }
