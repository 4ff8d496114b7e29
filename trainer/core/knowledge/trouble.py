"""Something that goes wrong at the chair, and what is right then."""

from typing import Literal, get_args

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET

TroubleKind = Literal["stuck", "first_aid", "tampered"]
"""It will not come away; first things first; somebody meddled with it."""
TROUBLE_KINDS: tuple[TroubleKind, ...] = get_args(TroubleKind)


@dataclass(frozen=True, slots=True, config=SHEET)
class Mistake:
    """What people do instead: the wrong belief behind it, and in `note` where it leads."""

    text: str
    belief: str
    note: str
    methods: tuple[str, ...] = ("all",)


@dataclass(frozen=True, slots=True, config=SHEET)
class Trouble:
    """`seen` and `do` are each several ways of saying one thing, with places for the client.

    `methods` as in a rule: with which of them it can happen. `because` is why `do` is right,
    `facts` are what it rests on, `wrong` what is done instead.
    """

    id: str
    kind: TroubleKind
    methods: tuple[str, ...]
    seen: tuple[str, ...]
    do: tuple[str, ...]
    because: str
    facts: tuple[str, ...]
    wrong: tuple[Mistake, ...]
