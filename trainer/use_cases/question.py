"""An item as it may be seen before it is answered: no key, no reason, no belief."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from trainer.core.items.item import Option


@dataclass(frozen=True, slots=True)
class Question:
    """What a page may show. `said` is the response so far, in the key's shape, or None.

    `again`: it is asked because one like it went wrong before. `why`: why it is asked now, in one
    sentence. `top_up`: the changed fact of whose top-up it is a question, or None.
    """

    type: str
    method: str
    topic: str
    service: str
    stem: str
    options: tuple[Option, ...]
    unit: str
    figure: Mapping[str, Any] | None
    said: Any = None
    again: bool = False
    why: str = ""
    top_up: str | None = None


def question_of(
    kept: Mapping[str, Any],
    said: Any = None,
    again: bool = False,
    why: str = "",
    top_up: str | None = None,
) -> Question:
    """The question in a kept item."""
    key = kept["key"]
    return Question(
        type=kept["type"],
        method=kept["method"],
        topic=kept["topic"],
        service=kept.get("service", ""),
        stem=kept["stem"],
        options=tuple(Option(option["id"], option["text"]) for option in kept["options"]),
        unit=key.get("unit", "") if isinstance(key, Mapping) else "",
        figure=kept["figure"],
        said=said,
        again=again,
        why=why,
        top_up=top_up,
    )
