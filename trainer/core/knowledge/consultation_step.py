"""One thing that a stylist can do in a consultation, and what it brings to light."""

from typing import Literal

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET


@dataclass(frozen=True, slots=True, config=SHEET)
class ConsultationStep:
    """`words` say what is done; `minutes` (>= 1) how long it takes at the chair.

    `reveals`: ids of the client attributes that it shows. `calm`: ways to say that nothing is
    amiss; `besides`: said after something was found. `wait_fact`: id of the fact whose high end
    must pass before the step can be read ('' where it is read at once).
    """

    id: str
    kind: Literal["ask", "look", "test"]
    words: str
    minutes: int
    reveals: tuple[str, ...]
    calm: tuple[str, ...] = ()
    besides: str = ""
    wait_fact: str = ""
