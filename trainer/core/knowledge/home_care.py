"""A line for the home-care sheet: for whom it holds, and for whom it is wrong."""

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET


@dataclass(frozen=True, slots=True, config=SHEET)
class Care:
    """`holds_for` and `wrong_for` as a rule's methods; of other methods it says nothing.

    `belief` is the misconception of who would give it where it is wrong; `because` says why it
    holds, or why not; `facts` are what that rests on.
    """

    id: str
    text: str
    facts: tuple[str, ...]
    because: str
    holds_for: tuple[str, ...] = ()
    wrong_for: tuple[str, ...] = ()
    belief: str = ""
