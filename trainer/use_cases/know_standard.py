"""Which cut holds for a method, and what it asks of one form."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from trainer.core.items.codec import from_kept
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.blueprint import Blueprint, counts
from trainer.core.measurement.decision import Equated, parameters, raw_needed
from trainer.core.measurement.priors import SLOPE, Difficulty
from trainer.core.measurement.response_model import ability_for, ability_for_share, probability
from trainer.core.measurement.standard_setting.equating import HIGHEST, LOWEST, raw_cut, whole_cut
from trainer.store import standards
from trainer.store.unit import Unit
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.know_difficulty import centre_of_people, difficulty_of
from trainer.use_cases.typical_items import typical_items

PLAIN_FLOOR = 0.2
STEPS = 33
ABILITIES = np.linspace(LOWEST, HIGHEST, STEPS)
"""Where a form's expected score is kept, so that another cut can be tried on it later."""


def share_needed(unit: Unit, method: str, blueprint: Blueprint) -> tuple[float, bool]:
    """The share of questions that a form asks for, and whether a panel has set it.

    With a panel's standard each form's own number can differ a little from this share.
    """
    standard = standards.in_force(unit, method)
    return (blueprint.cut_share, False) if standard is None else (standard.share, True)


def questions_needed(items: int, share: float, by_panel: bool) -> int:
    """How many questions of a form a share asks for.

    The starting cut is rounded up; a panel's as each form's own number is, which may differ by one
    or two from this.
    """
    return whole_cut(items * share) if by_panel else raw_needed(items, share)


def standard_of(bank: Bank, method: str) -> float:
    """The ability that the blueprint's share asks for, before any panel [theta].

    That whose expected share over the method's families, each topic as heavy as in the blueprint,
    is the cut's; by features alone. Where a bank has no questions, of a plain family.
    """
    return bank.once(("standard", method), lambda: _standard(bank, method))


def _standard(bank: Bank, method: str) -> float:
    blueprint, items = blueprint_of(bank, method), list(typical_items(bank, method).values())
    share = blueprint.cut_share
    if not items:
        return ability_for(share, SLOPE, 0.0, PLAIN_FLOOR)
    there: Counter[str] = Counter(item.heading.topic for item in items)
    wanted = counts(blueprint, there).by_topic
    weights = [wanted.get(topic, 0) / there[topic] for topic in (i.heading.topic for i in items)]
    return ability_for_share(
        share, *parameters([difficulty_of(item) for item in items]), np.array(weights)
    )


def abilities_needed(unit: Unit, bank: Bank) -> dict[str, float]:
    """Method -> the ability that is good enough: the panel's where one has set it."""
    panels = {row.method: row.ability for row in standards.all_in_force(unit)}
    return {
        method: panels[method] if method in panels else standard_of(bank, method)
        for method in bank.methods
    }


def ability_needed(unit: Unit, bank: Bank, method: str) -> float:
    """The same for one method."""
    standard = standards.in_force(unit, method)
    return standard_of(bank, method) if standard is None else standard.ability


def cut_of(
    unit: Unit, method: str, blueprint: Blueprint, items: Sequence[Mapping[str, Any]]
) -> tuple[int, dict[str, Any]]:
    """The raw cut of a form, and what of it is kept with the sitting.

    With an adopted standard the cut is equated from its ability; before any panel it is the
    blueprint's share. `items` hold `kept` and `difficulty` each.
    """
    families = [difficulty_of(from_kept(item["kept"]), item["difficulty"]) for item in items]
    kept: dict[str, Any] = {"expected": expected_scores(families)}
    kept["centre"] = centre_of_people(unit)
    standard = standards.in_force(unit, method)
    if standard is None:
        return raw_needed(len(items), blueprint.cut_share), kept
    kept["standard"] = {"id": standard.id, "ability": standard.ability}
    return raw_cut(standard.ability, *parameters(families)), kept


def equated(cut: int, outcome: Mapping[str, Any]) -> Equated | None:
    """The panel's cut that a sitting was opened with, None where the blueprint's share held."""
    standard = outcome.get("standard")
    return None if standard is None else Equated(cut, float(standard["ability"]))


def cut_of_the_rest(
    outcome: Mapping[str, Any], families: Sequence[Difficulty], cut: int, most: int
) -> int:
    """The raw cut of what is left of a form, which asked for `cut` of `most`."""
    standard = outcome.get("standard")
    if standard is None:
        return raw_needed(len(families), cut / most)
    return raw_cut(float(standard["ability"]), *parameters(families))


def expected_scores(families: Sequence[Difficulty]) -> list[float]:
    """Expected score of a form at each of `ABILITIES`."""
    p = probability(ABILITIES, *parameters(families))
    return [round(score, 3) for score in p.sum(axis=1).tolist()]
