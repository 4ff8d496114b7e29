"""One thing that a stylist can do in a consultation, and what it brings to light."""

from collections.abc import Mapping
from dataclasses import field
from typing import Literal

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.profile_sheet import Value
from trainer.core.knowledge.sheet import SHEET


@dataclass(frozen=True, slots=True, config=SHEET)
class ConsultationStep:
    """`words` say what is done; `minutes` (>= 1) how long it takes at the chair.

    `reveals`: ids of the client attributes that it shows. `calm`: ways to say that nothing is
    amiss; `besides`: said after something was found. `wait_fact`: id of the fact whose high end
    must pass before the step can be read ('' where it is read at once). `hides`: attribute ->
    values that this step cannot show. `due`: asked of every client, though no rule
    rests on it.
    """

    id: str
    kind: Literal["ask", "look", "test"]
    words: str
    minutes: int
    reveals: tuple[str, ...]
    calm: tuple[str, ...] = ()
    besides: str = ""
    wait_fact: str = ""
    due: bool = False
    hides: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def shows(self, attribute: str, value: Value | None) -> bool:
        """Whether the step brings this value of an attribute to light."""
        return attribute in self.reveals and value not in self.hides.get(attribute, ())
