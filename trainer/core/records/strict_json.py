"""One way to read JSON: UTF-8, no member twice, no NaN, not too large, not too deep."""

import json
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from typing import Any, NoReturn

from jsonschema_rs import Draft202012Validator, ValidationError

from trainer.core.problems import InputProblem

LARGEST = 1_000_000  # bytes; a record of ours has about 4,000
LONGEST_SAID = 80  # characters of a stranger's names in our words
DEEPEST = 40  # levels; a record of ours has 7


class Repeated(ValueError):
    """A member stands twice in one object, so two readers could read two records."""


def read_json(text: bytes, where: str) -> dict[str, Any]:
    """Read one JSON object strictly.

    Parameters
    ----------
    text : The bytes of the file.
    where : What the file is called, for the message.

    Returns
    -------
    The object.

    Raises
    ------
    InputProblem : If it is too large, not UTF-8, not JSON or not an object.
    Repeated : If a member stands twice.
    """
    if len(text) > LARGEST:
        raise InputProblem(f"more than {LARGEST} bytes", where, "Give the record's own file.")
    try:
        document = json.loads(
            text.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_constant
        )
    except UnicodeDecodeError:
        raise InputProblem("not UTF-8 text", where, "Ask for the file again.") from None
    except Repeated:
        raise
    except (ValueError, RecursionError):
        raise InputProblem("not JSON", where, "Ask for the file again.") from None
    if not isinstance(document, dict):
        raise InputProblem("not one JSON object", where, "Give one record a file.")
    escaped = b"\\u" in text  # half a pair of characters can stand in a file no other way
    if _depth(document) > DEEPEST or (escaped and _lone_surrogate(document)):
        raise InputProblem("not text that can be read safely", where, "Ask for the file again.")
    return document


def shape_faults(document: Mapping[str, Any]) -> list[str]:
    """Hold a record against the schema beside this file.

    Parameters
    ----------
    document : A record as parsed JSON.

    Returns
    -------
    Up to three faults as 'place: what', none when the shape is right.
    """
    if _twice(document):
        return ["a list holds the same thing twice"]
    if _schema().is_valid(document):
        return []
    faults = sorted(_schema().iter_errors(document), key=lambda fault: _place(fault))
    return [f"{_place(fault)}: {_plain(fault)}" for fault in faults[:3]]


@lru_cache(maxsize=1)
def _schema() -> Draft202012Validator:
    text = files("trainer.core.records").joinpath("ob3-record.schema.json").read_text("utf-8")
    return Draft202012Validator(json.loads(text))


def _twice(value: Any) -> bool:
    """Lists are sets to the signature: a thing told twice, or in two halves, would pass it."""
    if isinstance(value, dict):
        return any(_twice(part) for part in value.values() if isinstance(part, dict | list))
    ids = [part["id"] if isinstance(part, dict) and "id" in part else part for part in value]
    seen = {(one,) if isinstance(one, str) else json.dumps(one, sort_keys=True) for one in ids}
    inner = (part for part in value if isinstance(part, dict | list))
    return len(seen) != len(ids) or any(map(_twice, inner))


def _place(fault: ValidationError) -> str:
    parts = (f"[{part}]" if isinstance(part, int) else f".{part}" for part in fault.instance_path)
    return "".join(parts).removeprefix(".") or "the record"


def _plain(fault: ValidationError) -> str:
    if fault.kind.name == "required":
        return f"{fault.kind.as_dict()['property']} is missing"
    if fault.kind.name == "additionalProperties":
        named = ", ".join(map(str, fault.kind.as_dict()["unexpected"]))[:LONGEST_SAID]
        return f"{named} is there, which the standard does not name"
    return "not what the standard asks for here"


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise Repeated("a member stands twice")
    return found


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not JSON")


def _depth(value: Any) -> int:
    deepest, waiting = 0, [(value, 1)]
    while waiting:
        item, level = waiting.pop()
        deepest = max(deepest, level)
        inside = item.values() if isinstance(item, dict) else item
        waiting += [(part, level + 1) for part in inside if isinstance(part, dict | list)]
    return deepest


def _lone_surrogate(document: dict[str, Any]) -> bool:
    try:
        json.dumps(document, ensure_ascii=False).encode("utf-8")
    except UnicodeEncodeError:
        return True
    return False
