"""What a form must contain: shares of topics as whole counts."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import inf, isfinite
from typing import Any

from trainer.core.measurement.requirement import NO_LIMIT, Range
from trainer.core.problems import InputProblem

WHOLE = 1e-6
SIBLINGS, CONFIRM_MINUTES = 3, 2
NEEDED = ("items", "minutes", "cut_share")
OPTIONAL = (
    "critical_least",
    "practised_least",
    "siblings",
    "siblings_right",
    "confirm_minutes",
    "shares",
    "counts",
    "rest_share",
    "rest_topics",
    "required",
    "services",
    "types",
    "words_most",
    "lately_most",
    "cut_ability",
)


@dataclass(frozen=True, slots=True)
class Blueprint:
    """Content of an assessment.

    `shares`: topic -> share of the items; `rest_share` is spread over `rest_topics`. `required`
    topics must have families; the share of another topic without any moves to the rest of the
    form. `cut_share`: share of items that must be right. `critical_least`: fewest critical items.
    `siblings`: fresh items for each critical error; `siblings_right` of them right resolve it.
    `confirm_minutes`: for each sibling.
    `services`, `types`: name -> (least, most) items of a form. `words_most`: to read in a form.
    `lately_most`: share of the last forms, 0..1, above which a family rests (None: no limit).
    `practised_least`: scenarios of the method to have answered before it, where no module is set.
    `cut_ability`: ability at the cut [theta]; None: what `cut_share` asks of the families.
    """

    name: str
    items: int
    minutes: int
    cut_share: float
    critical_least: int
    siblings: int
    siblings_right: int
    confirm_minutes: int
    shares: Mapping[str, float]
    rest_share: float
    rest_topics: tuple[str, ...]
    required: tuple[str, ...]
    services: Mapping[str, Range] = field(default_factory=dict)
    types: Mapping[str, Range] = field(default_factory=dict)
    words_most: float | None = None
    lately_most: float | None = None
    practised_least: int = 0
    cut_ability: float | None = None


@dataclass(frozen=True, slots=True)
class Counts:
    """Items for each topic, and in words what had to move elsewhere."""

    by_topic: Mapping[str, int]
    moved: tuple[str, ...]


def read_blueprint(name: str, table: Mapping[str, Any]) -> Blueprint:
    """Read a blueprint of the bank from its table. Raises InputProblem naming the field."""
    return blueprint_from(f"blueprints/{name}.toml", name, table)


def blueprint_from(where: str, name: str, table: Mapping[str, Any]) -> Blueprint:
    """Read a blueprint that stands in the file `where`. Raises InputProblem naming the field."""
    _known(where, table)
    items = _whole(where, table, "items")
    if not items:
        raise InputProblem("is 0", f"{where}, items", "Give 1 or more.")
    rest = _at_most(where, table, "rest_share") or 0.0
    shares = _counted(where, table, items) if "counts" in table else _shares(where, table)
    if abs(sum(shares.values()) + rest - 1) > WHOLE:
        raise InputProblem("the shares do not add up to 1", f"{where}, shares", "Mend them.")
    cut = _number(where, table, "cut_share")
    if not 0 < cut < 1:
        raise InputProblem(f"is {cut}", f"{where}, cut_share", "Give a share between 0 and 1.")
    siblings = _whole(where, table, "siblings", SIBLINGS)
    return Blueprint(
        name=name,
        items=items,
        minutes=_whole(where, table, "minutes"),
        cut_share=cut,
        critical_least=_whole(where, table, "critical_least", 0, most=items),
        siblings=siblings,
        siblings_right=_whole(where, table, "siblings_right", siblings, most=siblings),
        confirm_minutes=_whole(where, table, "confirm_minutes", CONFIRM_MINUTES),
        shares=shares,
        rest_share=rest,
        rest_topics=_names(where, table, "rest_topics", ()),
        required=_names(where, table, "required", shares if "counts" in table else ()),
        services=_ranges(where, table, "services"),
        types=_ranges(where, table, "types"),
        words_most=_at_most(where, table, "words_most"),
        lately_most=_at_most(where, table, "lately_most", 1.0),
        practised_least=_whole(where, table, "practised_least", 0),
        cut_ability=_number(where, table, "cut_ability") if "cut_ability" in table else None,
    )


def counts(blueprint: Blueprint, families: Mapping[str, int]) -> Counts:
    """Share the items out over topics as whole numbers that add up.

    `families`: topic -> how many families there are. A topic without any gives its share to the
    others in proportion, and `moved` says so, unless it is required: then it keeps its count,
    which assembly will name as unmet. Largest remainders settle the rounding.
    """
    shares, moved = dict(blueprint.shares), []
    rest = [topic for topic in blueprint.rest_topics if families.get(topic)]
    for topic in rest:
        shares[topic] = shares.get(topic, 0.0) + blueprint.rest_share / len(rest)
    if not rest and blueprint.rest_share:
        moved.append(f"{', '.join(blueprint.rest_topics)}: no questions yet")
    for topic in list(shares):
        if not families.get(topic) and topic not in blueprint.required:
            del shares[topic]
            moved.append(f"{topic}: no questions yet")
    return Counts(_whole_counts(shares, blueprint.items), tuple(moved))


def _whole_counts(shares: Mapping[str, float], items: int) -> dict[str, int]:
    total = sum(shares.values())
    if not total:
        return dict.fromkeys(shares, 0)
    exact = {topic: items * share / total for topic, share in shares.items()}
    out = {topic: int(amount + WHOLE) for topic, amount in exact.items()}
    by_remainder = sorted(exact, key=lambda topic: out[topic] - exact[topic])
    for topic in by_remainder[: items - sum(out.values())]:
        out[topic] += 1
    return out


def _shares(where: str, table: Mapping[str, Any]) -> dict[str, float]:
    shares = table.get("shares")
    good = isinstance(shares, Mapping) and all(
        isinstance(share, int | float) and 0 <= share <= 1 for share in shares.values()
    )
    if not good or not shares:
        raise InputProblem("needs a share for each topic", f"{where}, shares", "Give 0 to 1 each.")
    return {topic: float(share) for topic, share in shares.items()}


def _counted(where: str, table: Mapping[str, Any], items: int) -> dict[str, float]:
    """Shares from whole counts."""
    found = table["counts"]
    good = isinstance(found, Mapping) and found
    if not good or any(not isinstance(one, int) or one < 0 for one in found.values()):
        raise InputProblem("needs a whole number for each topic", f"{where}, counts", "Mend it.")
    if sum(found.values()) != items:
        what = f"add up to {sum(found.values())}, not to the {items} items"
        raise InputProblem(what, f"{where}, counts", "Mend one of them.")
    return {topic: count / items for topic, count in found.items()}


def _ranges(where: str, table: Mapping[str, Any], part: str) -> dict[str, Range]:
    """Name -> (least, most), from { least = 1, most = 2 }, either may be left out."""
    out = {}
    found = table.get(part, {})
    if not isinstance(found, Mapping):
        raise InputProblem("is no table", f"{where}, {part}", "Give name = { most = 9 } lines.")
    for name, limits in found.items():
        spot = f"{where}, {part}.{name}"
        if not isinstance(limits, Mapping) or not set(limits) <= {"least", "most"} or not limits:
            raise InputProblem("needs least or most", spot, "Give { least = 1, most = 9 }.")
        least = _whole(spot, limits, "least", 0)
        most = _whole(spot, limits, "most") if "most" in limits else NO_LIMIT[1]
        if least > most:
            raise InputProblem(f"asks for {least} to {most}", spot, "Put the smaller first.")
        out[name] = (float(least), float(most))
    return out


def _names(
    where: str, table: Mapping[str, Any], field: str, otherwise: Iterable[str]
) -> tuple[str, ...]:
    found = table.get(field, list(otherwise))
    if not isinstance(found, list) or not all(isinstance(one, str) for one in found):
        raise InputProblem("is no list of names", f"{where}, {field}", 'Give ["one", "two"].')
    return tuple(found)


def _known(where: str, table: Mapping[str, Any]) -> None:
    for field_ in table:
        if field_ not in (*NEEDED, *OPTIONAL):
            known = ", ".join((*NEEDED, *OPTIONAL))
            raise InputProblem("is no field of a blueprint", f"{where}, {field_}", f"Use {known}.")


def _at_most(where: str, table: Mapping[str, Any], field: str, most: float = inf) -> float | None:
    """A limit that may be left out; never below 0, or above `most`."""
    if field not in table:
        return None
    value = _number(where, table, field)
    if not 0 <= value <= most:
        remedy = "Give 0 or more." if most == inf else f"Give 0 to {most:g}."
        raise InputProblem(f"is {value:g}", f"{where}, {field}", remedy)
    return value


def _number(where: str, table: Mapping[str, Any], field: str) -> float:
    value = table.get(field)
    if not isinstance(value, int | float) or isinstance(value, bool) or not isfinite(value):
        raise InputProblem("is no number", f"{where}, {field}", "Give a number.")
    return float(value)


def _whole(
    where: str,
    table: Mapping[str, Any],
    field: str,
    otherwise: int | None = None,
    most: int | None = None,
) -> int:
    value = table.get(field, otherwise)
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise InputProblem("is no whole number", f"{where}, {field}", "Give 0 or more.")
    if most is not None and value > most:
        raise InputProblem(f"asks for {value} of {most}", f"{where}, {field}", f"Give 0 to {most}.")
    return value
