"""What to book and how to place it, for a client who may have the method."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import ceil
from typing import Any

from trainer.core.advice.growth import grown_mm, shed_in_section
from trainer.core.advice.profile import Profile
from trainer.core.advice.tension import hairs_in, natural_hairs
from trainer.core.advice.verdict import loose
from trainer.core.advice.waits import days_of, last_day, window
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.method import Method
from trainer.core.knowledge.quantity import quantity

CAUTIONS = (
    "A training aid: the maker's instructions, local law and licensing come first.",
    "Anything wrong with a scalp goes to a licensed health professional.",
    "Weights and loads are a teaching model, not a medical limit.",
)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a plan: what, its figure in words, the facts behind it."""

    what: str
    words: str
    facts: tuple[str, ...]
    low: float | None = None
    high: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """Lines for people; `dates` by name; `missing`: what no source gives, in plain words."""

    method: str
    lines: tuple[Line, ...]
    dates: Mapping[str, date]
    use: tuple[str, ...]
    avoid: tuple[str, ...]
    agents: tuple[str, ...]
    missing: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS


ASKED: Mapping[str, str] = {
    "fit_time": "Appointment to fit",
    "move_up": "Move up after",
    "outer_limit": "Out at the latest after",
    "scalp_distance": "Distance from the scalp",
    "edge_margin": "Hair left free at hairline and nape",
    "strand_mass": "Added hair on one attachment",
}
"""The roles that a plan shows, with the words for each."""


def plan(bank: Bank, method: str, profile: Profile, day: date) -> Plan:
    """Plan a first fitting on `day`. Figures that no fact gives are left out and named."""
    chosen = bank.methods[method]
    facts = {role: bank.role(method, role) for role in ASKED}
    lines = [_line(ASKED[role], fact) for role, fact in facts.items() if fact is not None]
    lines += _weights(bank, chosen, profile)
    dates: dict[str, date] = {}
    if chosen.bonded and not loose(bank, method, profile):
        dates = _dates(bank, method, day)
        lines += _by_then(bank, facts["move_up"])
    return Plan(
        method,
        tuple(lines),
        dates,
        tuple(bank.products[name].name for name in chosen.use),
        tuple(bank.products[name].name for name in chosen.avoid),
        tuple(bank.products[name].name for name in chosen.agents),
        tuple(f"{ASKED[role]}: no source gives a figure" for role in facts if not facts[role]),
    )


def _line(what: str, fact: Fact) -> Line:
    words = quantity(fact.low, fact.high, fact.unit)
    return Line(what, words, (fact.id,), fact.low, fact.high, fact.unit)


def _dates(bank: Bank, method: str, day: date) -> dict[str, date]:
    dates: dict[str, date] = {}
    move_up, limit = bank.role(method, "move_up"), bank.role(method, "outer_limit")
    if move_up is not None:
        days = window(day, move_up)
        dates |= {"move up from": days.first, "move up by": days.last}
    if limit is not None:
        dates["out by"] = last_day(day, limit)
    return dates


def _weights(bank: Bank, method: Method, profile: Profile) -> list[Line]:
    """Attachments for the wished weight, and the section that carries one of them."""
    wished, mass = profile.get("wanted_grams"), bank.role(method.id, "strand_mass")
    if not isinstance(wished, int | float) or mass is None or not mass.low or not mass.high:
        return []
    few, many = ceil(wished / mass.high), ceil(wished / mass.low)
    counted = Line(
        f"{method.attachments.capitalize()} for {wished:g} g of added hair",
        quantity(few, many, ""),
        (mass.id,),
        few,
        many,
    )
    return [counted, *_section(bank, profile, mass)]


def _section(bank: Bank, profile: Profile, mass: Fact) -> list[Line]:
    """Area whose own hairs are as many as those of the lightest attachment."""
    length, thickness = profile.get("wanted_length_cm"), profile.get("strand_um")
    per_cm2, fibre = profile.get("density_per_cm2"), bank.facts.get("hair.fibre_density")
    known = [length, thickness, per_cm2, mass.low, fibre.low if fibre else None]
    if not all(isinstance(value, int | float) for value in known):
        return []
    length_cm, um, density, grams, fibre_density = (float(value) for value in known)  # type: ignore[arg-type]
    added = hairs_in(grams, length_cm, um, fibre_density)
    area = added / natural_hairs(1, density)
    facts = (mass.id, "hair.fibre_density", "section.not_heavier")
    return [
        Line(
            f"Section with as many own hairs as {grams:g} g of added hair",
            f"about {area:.1f} cm² ({added:.0f} hairs)",
            facts,
            area,
            area,
            "cm²",
        )
    ]


def _by_then(bank: Bank, move_up: Fact | None) -> list[Line]:
    """How far the attachment has moved, and what it holds, when the window closes."""
    if move_up is None:
        return []
    days = days_of(move_up, "high")
    growth, falling = bank.facts["hair.growth_um_per_day"], bank.facts["hair.shed_per_day"]
    head = bank.bound("hair.whole_head/high")
    moved = [grown_mm(days, rate) for rate in (growth.low or 0, growth.high or 0)]
    held = [
        shed_in_section(100, rate, days, head) for rate in (falling.low or 0, falling.high or 0)
    ]
    return [
        Line(
            "Grown away from the scalp by the end of that window",
            quantity(round(moved[0]), round(moved[1]), "mm"),
            (growth.id, move_up.id),
            moved[0],
            moved[1],
            "mm",
        ),
        Line(
            "Shed hairs held by then, of each 100 hairs in a section",
            quantity(round(held[0], 1), round(held[1], 1), "hair"),
            (falling.id, "hair.whole_head", move_up.id),
            held[0],
            held[1],
            "hair",
        ),
    ]


def as_json(made: Plan) -> dict[str, Any]:
    """The plan as plain JSON."""
    return {
        "lines": [
            {"what": n.what, "words": n.words, "low": n.low, "high": n.high, "unit": n.unit}
            | {"facts": list(n.facts)}
            for n in made.lines
        ],
        "dates": {name: day.isoformat() for name, day in made.dates.items()},
        "use": list(made.use),
        "avoid": list(made.avoid),
        "removal_agents": list(made.agents),
        "missing": list(made.missing),
        "cautions": list(made.cautions),
    }
