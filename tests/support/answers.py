"""Right and wrong answers to any item, as a page would send them."""

from datetime import date, timedelta
from typing import Any

from trainer.core.items.item import Item
from trainer.core.items.types.date import ends
from trainer.core.items.types.put_in_order import one_right_order

WRONG = {
    "choose_one": lambda item: [next(o.id for o in item.options if o.id not in item.key)],
    "point_at_figure": lambda item: [next(o.id for o in item.options if o.id not in item.key)],
    "choose_all": lambda item: [o.id for o in item.options if o.id not in item.key],
    "put_in_order": lambda item: [*reversed(one_right_order(item))],
    "number": lambda item: item.key | {"value": item.key["value"] + 2 * item.key["tolerance"] + 9},
    "date": lambda item: _day_before(ends(item.key)[0]),
}
"""Item type -> a wrong answer in the shape of its key (order: a list of steps)."""


def as_sent(item: Item, key: Any) -> dict[str, list[str]]:
    """An answer in the key's shape, as the page's form sends it."""
    kind = item.heading.type
    if kind in ("choose_one", "choose_all", "point_at_figure"):
        return {"choice": list(key)}
    if kind == "number":
        return {"value": [str(key["value"])]}
    if kind == "date":
        return {"date": [ends(key)[0]]}
    order = one_right_order(item) if isinstance(key, dict) else key
    places = {f"place_{o.id}": ["out"] for o in item.options}
    return places | {f"place_{step}": [str(number)] for number, step in enumerate(order, 1)}


def _day_before(iso: str) -> str:
    return (date.fromisoformat(iso) - timedelta(days=1)).isoformat()
