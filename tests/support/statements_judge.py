"""Whether xAPI statements are what the standard asks for.

The schema beside tests/core/exchange is ours, written from the data rules of xAPI 2.0 (IEEE
9274.1.1): copied from the project's own reference data, not from another repository. What a schema
cannot say is said here: order of score values, ids that are there once, voided ones that exist.
"""

import json
from pathlib import Path

from jsonschema import Draft202012Validator

FILE = Path(__file__).parents[1] / "core/exchange/xapi-statement.schema.json"
SCHEMA = Draft202012Validator(json.loads(FILE.read_text(encoding="utf-8")))
VOIDED = "http://adlnet.gov/expapi/verbs/voided"


def faults(statement) -> list[str]:
    """What is wrong with one statement."""
    found = [one.message for one in SCHEMA.iter_errors(statement)]
    score = statement.get("result", {}).get("score", {}) if not found else {}
    low, high, raw = (score.get(part) for part in ("min", "max", "raw"))
    if low is not None and high is not None and low >= high:
        found.append("min is not below max")
    if raw is not None and (low is not None and raw < low or high is not None and raw > high):
        found.append("raw is not between min and max")
    return found


def faults_of_all(statements) -> list[str]:
    """What is wrong with them one by one and together, in their order."""
    found = [fault for one in statements for fault in faults(one)]
    seen = set()
    for one in statements:
        if one["id"] in seen:
            found.append(f"{one['id']} stands twice")
        seen.add(one["id"])
        if one["verb"]["id"] == VOIDED and one["object"]["id"] not in seen:
            found.append(f"{one['object']['id']} is voided before it was said")
    return found


def standing(statements) -> list:
    """The statements that hold: those that are not voided."""
    gone = {one["object"]["id"] for one in statements if one["verb"]["id"] == VOIDED}
    return [s for s in statements if s["id"] not in gone and s["verb"]["id"] != VOIDED]
