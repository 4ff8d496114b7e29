"""What a question is: the draft that an item model works out, the item, the mark."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

from trainer.core.draw import Draw
from trainer.core.items.exported import Exported
from trainer.core.knowledge.words import Service, Topic

ROUNDING = 1e-9
Json = Any
"""A JSON value. Keys and responses have the shapes that design section 8 fixes per type."""


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing put before the learner, as the item model works it out.

    `right`: belongs to the key. `misconception` names the wrong belief behind a wrong offer;
    `note` says why a wrong offer tempts and what it would do. `tag` says in the model's words
    what the offer means: two offers with the same tag mean the same.
    """

    text: str
    right: bool
    tag: str
    misconception: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """A free answer: a number in `unit` within `tolerance`, or a date window `first`..`last`."""

    value: float | None = None
    unit: str = ""
    tolerance: float = 0.0
    first: str = ""
    last: str = ""
    slips: Mapping[str, str] = field(default_factory=dict)
    """Wrong answer (a number written by `repr(round(x, 3))`, an ISO date) -> misconception."""
    notes: Mapping[str, str] = field(default_factory=dict)
    """The same wrong answers -> why each tempts."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What an item model works out, before an item type gives it a shape.

    `pairs` (before, after) are tags of offers that bind an order. `givens` is the structured
    case: complete enough to reach the key from facts, rules and procedures alone.
    `features`: what makes it hard (cues, causes, nearness, closeness, steps), numbers.
    """

    stem: str
    explanation: str
    givens: Mapping[str, Json]
    facts: tuple[str, ...]
    critical: bool
    features: Mapping[str, float]
    offers: tuple[Offer, ...] = ()
    pairs: tuple[tuple[str, str], ...] = ()
    answer: Answer | None = None
    key: Mapping[str, Json] | None = None
    """The whole key, where it is worked out with the case (a consultation)."""
    figure: Mapping[str, Json] | None = None
    """A drawing: svg, alt, regions (id, label, boxes)."""
    in_order: bool = False
    """The offers keep their order, since the drawing has their letters in it."""


@dataclass(frozen=True, slots=True)
class Sketch:
    """What a draft would offer: enough to see whether it will do, before the rest is worked out.

    `offers`: those of the draft, which may still get their notes. `draft` works it all out.
    """

    offers: tuple[Offer, ...]
    draft: Callable[[], Draft]


@dataclass(frozen=True, slots=True)
class Option:
    """One answer as shown."""

    id: str
    text: str


@dataclass(frozen=True, slots=True)
class Heading:
    """What an item says of itself before its content: settled by family and seed."""

    id: str
    family: str
    method: str
    service: Service
    topic: Topic
    type: str
    level: str
    bank_version: str


@dataclass(frozen=True, slots=True)
class Item:
    """One question, kept as it was shown.

    `key` has the shape that the item's type fixes. `misconceptions` maps a wrong option id
    (order: a broken pair 'a>b'; number, date: the wrong answer) to a misconception id;
    `notes` maps the same to why it tempts and what it would do.
    """

    heading: Heading
    stem: str
    options: tuple[Option, ...]
    key: Json
    critical: bool
    explanation: str
    givens: Mapping[str, Json]
    facts: tuple[str, ...]
    misconceptions: Mapping[str, str]
    notes: Mapping[str, str]
    features: Mapping[str, float]
    figure: Mapping[str, Json] | None = None
    too_careful: tuple[str, ...] = ()
    """Those of its misconceptions that wrong a client, and injure nobody."""

    def injured_by(self, beliefs: Collection[str]) -> bool:
        """Whether a wrong response that shows these beliefs is a critical error."""
        only_careful = bool(beliefs) and set(beliefs) <= set(self.too_careful)
        return self.critical and not only_careful


@dataclass(frozen=True, slots=True)
class Mark:
    """What a response was worth: 0..1, whether it was a critical error, which beliefs it shows."""

    score: float
    critical_error: bool = False
    misconceptions: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()
    """What of the response was wrong: option ids, broken pairs 'a>b', or the answer itself."""
    enough: float = 1.0
    """The score, 0..1, from which the whole counts as right."""

    @property
    def right(self) -> bool:
        """Whether the response counts as right."""
        return self.score >= self.enough - ROUNDING and not self.critical_error


class ItemType(Protocol):
    """How a draft becomes an item, a response is read, and a mark given."""

    name: str

    def compose(self, heading: Heading, draft: Draft, draw: Draw) -> Item:
        """Give the draft its shape: shuffle, letter, key."""
        ...

    def read(self, sent: Mapping[str, Sequence[str]], item: Item) -> Json:
        """The response in the key's shape, from what a page's form sent (name -> values).

        Raises InputProblem naming the field when it is not an answer to this item.
        """
        ...

    def accept(self, response: Json, item: Item) -> Json:
        """The same from JSON (the command line, a script). Raises InputProblem."""
        ...

    def mark(self, item: Item, response: Json) -> Mark:
        """Mark a response that `read` or `accept` gave back."""
        ...

    def unfit(self, offers: Sequence[Offer]) -> list[str]:
        """What makes these offers unfit, in words; empty when sound, or when none are needed."""
        ...

    def faults(self, item: Item) -> list[str]:
        """What makes this item unfit, in words; empty when sound. For the item audit."""
        ...

    def chance(self, item: Item) -> float:
        """Probability that blind guessing earns the mark, 0..1: the floor of its family."""
        ...

    def say_key(self, item: Item) -> list[str]:
        """The right answer in words, a line each, for feedback."""
        ...

    def say_response(self, item: Item, response: Json) -> list[str]:
        """A response in words, a line each, for review."""
        ...

    def export(self, item: Item) -> Exported:
        """The item's parts for an outside format, marked there as here."""
        ...
