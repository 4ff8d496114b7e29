"""How a made-up learner answers: right as often as their skill lets them, else with a real slip."""

from collections.abc import Mapping
from datetime import date, timedelta
from math import exp

from trainer.core.draw import Draw
from trainer.core.items.item import Item
from trainer.core.items.types.put_in_order import one_right_order
from trainer.use_cases.know_difficulty import difficulty_of

Sent = Mapping[str, list[str]]


def answers_right(item: Item, skill: float, draw: Draw) -> bool:
    """Whether this answer is right: a logistic curve of skill less difficulty over a floor."""
    difficulty = difficulty_of(item)
    curve = 1 / (1 + exp(-difficulty.a * (skill - difficulty.b)))
    return draw.chance(difficulty.floor + (1 - difficulty.floor) * curve)


def answer(item: Item, right: bool, draw: Draw) -> Sent:
    """What the learner sends, as the page's form would."""
    return ANSWERS[item.heading.type](item, right, draw)


def _choice(item: Item, right: bool, draw: Draw) -> Sent:
    wrong = [option.id for option in item.options if option.id not in item.key]
    return {"choice": list(item.key) if right else [draw.one(wrong)]}


def _choices(item: Item, right: bool, draw: Draw) -> Sent:
    if right:
        return {"choice": list(item.key)}
    everything = [option.id for option in item.options]
    return {"choice": sorted({*item.key} ^ {draw.one(everything)}) or everything}


def _order(item: Item, right: bool, draw: Draw) -> Sent:
    order = one_right_order(item)
    if not right:
        before, after = draw.one(item.key["pairs"])
        here, there = order.index(before), order.index(after)
        order[here], order[there] = order[there], order[here]
    sent = {f"place_{option.id}": ["out"] for option in item.options}
    return sent | {f"place_{step}": [str(n)] for n, step in enumerate(order, 1)}


def _number(item: Item, right: bool, draw: Draw) -> Sent:
    slips = [float(value) for value in item.misconceptions]
    off = draw.one(slips) if slips else item.key["value"] * 2 + 1
    return {"value": [f"{item.key['value'] if right else off:g}"]}


def _date(item: Item, right: bool, draw: Draw) -> Sent:
    first = item.key if isinstance(item.key, str) else item.key["first"]
    if right:
        return {"date": [first]}
    slips = list(item.misconceptions)
    later = (date.fromisoformat(first) + timedelta(days=2)).isoformat()
    return {"date": [draw.one(slips) if slips else later]}


ANSWERS = {
    "choose_one": _choice,
    "choose_all": _choices,
    "point_at_figure": _choice,
    "put_in_order": _order,
    "number": _number,
    "date": _date,
}
