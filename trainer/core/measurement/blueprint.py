"""What a form must contain: shares of topics as whole counts."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from trainer.core.problems import InputProblem

WHOLE = 1e-6


@dataclass(frozen=True, slots=True)
class Blueprint:
    """Content of an assessment.

    `shares`: topic -> share of the items; `rest_share` is spread over `rest_topics`. `required`
    topics must have families; the share of another topic without any moves to the rest of the
    form. `cut_share`: share of items that must be right. `critical_least`: fewest critical items.
    `siblings`: fresh items for each critical error. `confirm_minutes`: for each sibling.
    """

    name: str
    items: int
    minutes: int
    cut_share: float
    critical_least: int
    siblings: int
    confirm_minutes: int
    shares: Mapping[str, float]
    rest_share: float
    rest_topics: tuple[str, ...]
    required: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Counts:
    """Items for each topic, and in words what had to move elsewhere."""

    by_topic: Mapping[str, int]
    moved: tuple[str, ...]


def read_blueprint(name: str, table: Mapping[str, Any]) -> Blueprint:
    """Read a blueprint from its table. Raises InputProblem naming the field."""
    where = f"blueprints/{name}.toml"
    shares = _shares(where, table)
    rest = float(table.get("rest_share", 0))
    if abs(sum(shares.values()) + rest - 1) > WHOLE:
        raise InputProblem("the shares do not add up to 1", f"{where}, shares", "Mend them.")
    cut = _number(where, table, "cut_share")
    if not 0 < cut < 1:
        raise InputProblem(f"is {cut}", f"{where}, cut_share", "Give a share between 0 and 1.")
    whole = {
        field: _whole(where, table, field)
        for field in ("items", "minutes", "critical_least", "siblings", "confirm_minutes")
    }
    return Blueprint(
        name=name,
        cut_share=cut,
        shares=shares,
        rest_share=rest,
        rest_topics=tuple(table.get("rest_topics", ())),
        required=tuple(table.get("required", ())),
        **whole,
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


def _number(where: str, table: Mapping[str, Any], field: str) -> float:
    value = table.get(field)
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise InputProblem("is no number", f"{where}, {field}", "Give a number.")
    return float(value)


def _whole(where: str, table: Mapping[str, Any], field: str) -> int:
    value = table.get(field)
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise InputProblem("is no whole number", f"{where}, {field}", "Give 0 or more.")
    return value
