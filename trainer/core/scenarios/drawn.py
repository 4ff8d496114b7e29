"""Measures of attachments, sound and at fault, and the drawings made from them."""

from collections.abc import Mapping, Sequence

from trainer.core.figures.figure import Figure
from trainer.core.figures.headmap import Row
from trainer.core.figures.section import Section
from trainer.core.items.item import Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.method import Drawn
from trainer.core.knowledge.misconception import Misconception
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe

Measures = Mapping[str, float]
"""Role -> measure in the role's fact's unit."""


def limits(bank: Bank, method: str, recipe: Recipe) -> dict[str, Fact]:
    """Role -> fact, for the recipe's roles that the method has and that may be keyed."""
    facts = {role: bank.role(method, role) for role in recipe.settings["roles"]}
    return {r: f for r, f in facts.items() if f and f.may_key and f.low is not None}


def drawn_of(bank: Bank, method: str) -> Drawn | None:
    """How the method's attachment is drawn, if it is."""
    return bank.methods[method].drawn


def measures(
    case: Case, part: str, facts: Mapping[str, Fact], faulty: str, steps: Mapping[str, float]
) -> Measures:
    """One measure a role, within its fact's range, but for the faulty role (or none: '').

    `part` names the stream of chance; `steps` says to what each role's measures are rounded.
    """
    return {
        role: _measure(case, part, role, fact, faulty, steps.get(role, 1))
        for role, fact in facts.items()
    }


def _measure(case: Case, part: str, role: str, fact: Fact, faulty: str, step: float) -> float:
    low, high = fact.low or 0.0, fact.high or 0.0
    draw = case.draw.branch(f"{part} {role}")
    if role != faulty:
        share = draw.one(case.recipe.settings["sound_shares"][role])
        return _rounded(low + (high - low) * share, step)
    side = case.recipe.settings["harmful_side"][role]
    factor = draw.one(case.recipe.settings["faulty"][role][case.step])
    return _rounded((low if side == "below" else high or 1) * factor, step)


def _rounded(value: float, step: float) -> float:
    return round(round(value / step) * step, 2)


def outside(facts: Mapping[str, Fact], found: Measures) -> list[str]:
    """Roles whose measure lies outside its fact's range."""
    return [
        role
        for role, fact in facts.items()
        if not (fact.low or 0.0) <= found[role] <= (fact.high or 0.0)
    ]


def section(
    case: Case, shape: Drawn, part: str, found: Measures, notes: Sequence[str] = ()
) -> Section:
    """The cross-section that has these measures; what no role settles is drawn from the method."""
    draw = case.draw.branch(f"shape {part}")
    width = draw.one(shape.width_mm)
    wide = draw.one(shape.section_mm)
    if "slice_share" in found:
        wide = round(width * found["slice_share"], 1)
    lean = -1 if draw.chance(0.5) else 1
    stands = -1 if draw.chance(0.5) else 1
    return Section(
        kind=shape.kind,
        noun=case.method.attachment,
        scalp_mm=found.get("scalp_distance", 0.0),
        width_mm=width,
        height_mm=draw.one(shape.height_mm),
        section_mm=wide,
        own=shape.own,
        added=shape.added,
        offset_mm=stands * found.get("edge_offset", 0.0),
        closed=draw.one([0.4, 0.5, 0.6]),
        angle_deg=lean * found.get("fall_angle", 0.0),
        caught=round(found.get("section_hairs", 0)),
        notes=tuple(notes),
    )


def row(case: Case, spot: int, part: str, found: Measures, mm_in: float) -> Row:
    """The row on a head map that has these measures; margins are in the fact's unit."""
    lean = -1 if case.draw.branch(f"lean {part}").chance(0.5) else 1
    margin = round(found["edge_margin"] * mm_in, 1)
    return Row(spot, margin, lean * found.get("fall_angle", 0.0))


def with_one_fault(
    case: Case, facts: Mapping[str, Fact], parts: Sequence[str]
) -> tuple[str, str, dict[str, Measures]] | None:
    """The faulty role, its part, and the measures of every part; None where that fails."""
    bad, letter = case.draw.one(sorted(facts)), case.draw.branch("letter").one(parts)
    steps = case.recipe.settings["steps"]
    found = {
        part: measures(case, part, facts, bad if part == letter else "", steps) for part in parts
    }
    broken = {part: outside(facts, found[part]) for part in parts}
    if any(broken[part] != ([bad] if part == letter else []) for part in parts):
        return None
    return bad, letter, found


def limits_named(facts: Mapping[str, Fact]) -> dict[str, str]:
    """Role -> fact id, for `givens`."""
    return {role: fact.id for role, fact in facts.items()}


def pointed(
    figure: Figure, right: str, belief: Misconception, fine: Mapping[str, str]
) -> tuple[Offer, ...]:
    """An offer for each region: the right one, and the others with the belief that passes it by."""
    return tuple(
        Offer(region.label, True, region.id)
        if region.id == right
        else wrong(region.label, region.id, belief, fine[region.id])
        for region in figure.regions
    )
