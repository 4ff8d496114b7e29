"""Steps in a partial order, and steps that must not be taken."""

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET
from trainer.core.knowledge.words import Service


@dataclass(frozen=True, slots=True, config=SHEET)
class Step:
    """One thing done. `after` lists the steps that must come before it; `why` says why."""

    id: str
    text: str
    why: str
    after: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    critical: bool = False


@dataclass(frozen=True, slots=True, config=SHEET)
class Forbidden:
    """One thing never done here, the harm it does and the wrong belief behind it."""

    id: str
    text: str
    because: str
    facts: tuple[str, ...]
    misconception: str
    critical: bool = True


@dataclass(frozen=True, slots=True, config=SHEET)
class Procedure:
    """A service of one method, step by step."""

    id: str
    method: str
    service: Service
    title: str
    steps: tuple[Step, ...]
    forbidden: tuple[Forbidden, ...]
