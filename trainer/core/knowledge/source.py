"""Published works that facts rest on."""

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET


@dataclass(frozen=True, slots=True, config=SHEET)
class Source:
    """A work with what is needed to find it. `remembered` names details not yet checked."""

    id: str
    citation: str
    kind: str
    year: int | None = None
    locator: str = ""
    remembered: str = ""
