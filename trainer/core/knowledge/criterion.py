"""What is watched at a sign-off."""

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET
from trainer.core.knowledge.words import Service


@dataclass(frozen=True, slots=True, config=SHEET)
class Criterion:
    """One thing that an observer ticks. A critical one must be met."""

    id: str
    method: str
    service: Service
    text: str
    critical: bool
    facts: tuple[str, ...] = ()
