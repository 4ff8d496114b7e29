"""Published works that facts rest on."""

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET


@dataclass(frozen=True, slots=True, config=SHEET)
class Source:
    """A work with what is needed to find it. `remembered` names details not yet checked.

    `url`: where an occupational standard is kept; a record that answers to it must say.
    """

    id: str
    citation: str
    kind: str
    year: int | None = None
    locator: str = ""
    remembered: str = ""
    url: str = ""
