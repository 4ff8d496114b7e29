"""Draw the form of a sitting: from the blueprint, what was used lately, and chance."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from trainer.core.draw import Draw
from trainer.core.items.item import Item
from trainer.core.items.reading_load import seconds_of, words_of
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.blueprint import Blueprint, Counts, counts
from trainer.core.measurement.calibration.recalibrate import Calibration
from trainer.core.measurement.requirement import Candidate, Demands
from trainer.core.measurement.response_model import information
from trainer.core.measurement.sitting_form import (
    UNUSED,
    Aim,
    Room,
    SittingForm,
    Used,
    aim_of,
    draw_form,
    room_for,
)
from trainer.core.scenarios.family import Family
from trainer.store import exposure, standards
from trainer.store.unit import Unit
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.know_difficulty import difficulty_of, in_use, to_keep
from trainer.use_cases.know_standard import standard_of
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.typical_items import sat_families, typical_items

LAST_FORMS, OWN_FORMS = 20, 2
"""Forms of the organisation, and of the person, that count as lately."""
PARAMETERS = ("slope", "b", "floor")
NONE_MADE: Mapping[str, Item] = {}


@dataclass(frozen=True, slots=True)
class Lately:
    """Family -> how it was used lately. Families that are not there were not.

    `cut`: the ability that a panel has set, to a tenth; None before any. `calibration`: the one in
    use; without one families go by their features.
    """

    used: Mapping[str, Used] = field(default_factory=dict)
    cut: float | None = None
    calibration: Calibration | None = None

    @property
    def aims(self) -> tuple[object, ...]:
        """What forms aim by; where it is the same, they aim at the same."""
        found = self.calibration
        if found is None:
            return (self.cut,)
        return (self.cut, found.dated, found.people, found.answers, found.log_likelihood)


NOT_AT_ALL = Lately()


def lately(unit: Unit, bank: Bank, method: str) -> Lately:
    """What the last forms of the viewer's organisation, and the viewer's own, were made of.

    And the cut that they are to tell apart best at, and how hard families proved to be.
    """
    forms, uses = exposure.of_organisation(unit, method, LAST_FORMS)
    own = exposure.of_viewer(unit, method, OWN_FORMS)
    shares = {family: count / max(forms, 1) for family, count in uses.items()}
    used = {name: Used(shares.get(name, 0.0), name in own) for name in {*shares, *own}}
    standard = standards.in_force(unit, method)
    found = in_use(unit, [one.id for one in sat_families(bank, method)])
    return Lately(used, None if standard is None else round(standard.ability, 1), found)


def wanted(bank: Bank, method: str, blueprint: Blueprint | None = None) -> Counts:
    """Items for each topic as a blueprint shares them out over what is there.

    Here and below, without one it is that of the method's full assessment.
    """
    by_topic: dict[str, int] = {}
    for one in sat_families(bank, method):
        by_topic[one.topic] = by_topic.get(one.topic, 0) + 1
    return counts(blueprint or blueprint_of(bank, method), by_topic)


def unmet(bank: Bank, method: str, blueprint: Blueprint | None = None) -> tuple[str, ...]:
    """In words, what the bank has too few questions for; empty if forms can be made."""
    asked = blueprint or blueprint_of(bank, method)
    return bank.once(
        ("unmet", method, asked.name, asked.items),
        lambda: _room(bank, method, asked, sat_families(bank, method)).unmet,
    )


def form_of(
    bank: Bank, method: str, seen: Lately, draw: Draw, blueprint: Blueprint | None = None
) -> SittingForm:
    """A form of its own for the method, with the information at the cut that all its forms have.

    Raises InputProblem where the bank has too few questions.
    """
    asked = blueprint or blueprint_of(bank, method)
    aim = bank.once(
        ("aim", method, asked.name, asked.items, *seen.aims),
        lambda: _aim(bank, method, asked, seen),
    )
    used = [seen.used.get(one.id, UNUSED) for one in aim.room.pool]
    return draw_form(aim, used, asked.lately_most, draw)


def _aim(bank: Bank, method: str, blueprint: Blueprint, seen: Lately) -> Aim:
    """Each family counts as it was calibrated, else by a typical item; at the common cut."""
    typical = typical_items(bank, method)
    room = _room(bank, method, blueprint, sat_families(bank, method), typical)
    if room.unmet:
        what = f"there are too few questions: {'; '.join(room.unmet)}"
        raise InputProblem(what, method, "Ask your instructor.")
    items = [typical[one.id] for one in room.pool]
    found = list(map(difficulty_of, items, to_keep(items, seen.calibration)))
    a, b, floor = (np.array([getattr(one, name) for one in found]) for name in PARAMETERS)
    cut = np.array([standard_of(bank, method) if seen.cut is None else seen.cut])
    return aim_of(room, information(cut, a, b, floor)[0])


def _room(
    bank: Bank,
    method: str,
    blueprint: Blueprint,
    there: Sequence[Family],
    typical: Mapping[str, Item] = NONE_MADE,
) -> Room:
    """What forms are chosen from; time and reading are minded where items are at hand."""
    demands = Demands(
        wanted(bank, method, blueprint).by_topic,
        blueprint.critical_least,
        blueprint.services,
        blueprint.types,
        blueprint.minutes * 60.0,
        blueprint.words_most,
    )
    return room_for([_candidate(one, typical.get(one.id)) for one in there], demands)


def _candidate(one: Family, item: Item | None) -> Candidate:
    recipe = one.recipe
    return Candidate(
        one.id,
        one.topic,
        recipe.critical,
        one.enemies,
        recipe.service,
        recipe.type,
        seconds=seconds_of(item) if item else 0.0,
        words=float(words_of(item)) if item else 0.0,
    )
