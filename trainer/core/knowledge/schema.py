"""The published schema of the bank's files."""

from typing import Any

from trainer.core.knowledge.read import ENTRIES


def bank_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of one file: any of these tables, each a list of entries.

    A condition's operator `is_` is written `is`; in a method's folder `method` and `methods`
    may be left out; `[method]` is a single table.
    """
    tables = {
        name: shape.json_schema(ref_template="#/$defs/{model}") for name, shape in ENTRIES.items()
    }
    shared: dict[str, Any] = {}
    for shape in tables.values():
        shared |= shape.pop("$defs", {})
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A file of the question bank",
        "type": "object",
        "properties": {
            name: shape if name == "method" else {"type": "array", "items": shape}
            for name, shape in tables.items()
        },
        "$defs": shared,
    }
