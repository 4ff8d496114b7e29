"""Parameters of items as a file holds them."""

from collections.abc import Mapping
from math import isfinite
from typing import Any

from trainer.core.measurement.priors import Difficulty
from trainer.core.problems import InputProblem

SHAPE = 'Give {"items": [{"item": "x1", "a": 1.0, "b": 0.0}, ...]}, as `trainer calibrate` prints.'


def read_parameters(document: Any, name: str) -> Mapping[str, Difficulty]:
    """Item -> parameters, from what `trainer calibrate` prints.

    `guessing` may stand beside `items` for all, or in an item for that one; without it, 0. `name`
    is the file's. Raises InputProblem naming file, item and field.
    """
    rows = document.get("items") if isinstance(document, dict) else document
    if not isinstance(rows, list) or not rows:
        raise InputProblem("holds no items", name, SHAPE)
    usual = document.get("guessing", 0.0) if isinstance(document, dict) else 0.0
    found: dict[str, Difficulty] = {}
    for place, row in enumerate(rows, 1):
        item = row.get("item") if isinstance(row, dict) else None
        if not isinstance(item, str) or not item or item in found:
            raise InputProblem("is missing or comes twice", f"{name}, item {place}, `item`", SHAPE)
        found[item] = _difficulty(row, usual, f"{name}, item {item}")
    return found


def _difficulty(row: Mapping[str, Any], usual: Any, where: str) -> Difficulty:
    a, b = _number(row, "a", where), _number(row, "b", where)
    floor = _number({"guessing": row.get("guessing", usual)}, "guessing", where)
    if a <= 0:
        raise InputProblem(
            f"is {a}, not above 0", f"{where}, `a`", "Check the item's key, or leave the item out."
        )
    if not 0 <= floor < 1:
        raise InputProblem(
            f"is {floor}", f"{where}, `guessing`", "Give a chance from 0 to under 1."
        )
    error = row.get("se_b")
    return Difficulty(a, b, error if isinstance(error, float) else 0.0, floor)


def _number(row: Mapping[str, Any], field: str, where: str) -> float:
    value: Any = row.get(field)
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not isfinite(value):
        raise InputProblem("is no number", f"{where}, `{field}`", SHAPE)
    return float(value)
