"""Items as plain JSON: the shape promised to the outside, and the one that is kept."""

from collections.abc import Mapping
from typing import Any

from trainer.core.items.item import Heading, Item, Option


def as_contract(item: Item) -> dict[str, Any]:
    """The shape of `trainer questions`: everything but what only feedback needs."""
    heading = item.heading
    return {
        "id": heading.id,
        "family": heading.family,
        "method": heading.method,
        "topic": heading.topic,
        "type": heading.type,
        "critical": item.critical,
        "stem": item.stem,
        "figure": item.figure,
        "givens": dict(item.givens),
        "options": [{"id": option.id, "text": option.text} for option in item.options],
        "key": item.key,
        "explanation": item.explanation,
        "facts": list(item.facts),
        "misconceptions": dict(item.misconceptions),
        "level": heading.level,
        "features": dict(item.features),
        "bank_version": heading.bank_version,
    }


def as_kept(item: Item) -> dict[str, Any]:
    """What is kept of an item that was shown: all of it."""
    return (
        as_contract(item)
        | {"service": item.heading.service, "notes": dict(item.notes)}
        | ({"too_careful": list(item.too_careful)} if item.too_careful else {})
    )


def from_kept(kept: Mapping[str, Any]) -> Item:
    """An item as it was shown. What only `as_kept` holds may be missing.

    Raises KeyError if a member of the contract's shape is.
    """
    return Item(
        heading=Heading(
            kept["id"],
            kept["family"],
            kept["method"],
            kept.get("service", "fit"),
            kept["topic"],
            kept["type"],
            kept["level"],
            kept["bank_version"],
        ),
        stem=kept["stem"],
        options=tuple(Option(option["id"], option["text"]) for option in kept["options"]),
        key=kept["key"],
        critical=kept["critical"],
        explanation=kept["explanation"],
        givens=kept["givens"],
        facts=tuple(kept["facts"]),
        misconceptions=kept["misconceptions"],
        notes=kept.get("notes", {}),
        features=kept["features"],
        figure=kept["figure"],
        too_careful=tuple(kept.get("too_careful", ())),
    )
