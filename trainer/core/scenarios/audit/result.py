"""What an audit came to."""

from dataclasses import dataclass, field

ALL_TOGETHER = -1


@dataclass(frozen=True, slots=True)
class Finding:
    """What is wrong, under which guideline, and with which seed it shows (-1: all together)."""

    guideline: str
    what: str
    seed: int = ALL_TOGETHER


@dataclass(frozen=True, slots=True)
class AuditResult:
    """What an audit of a family came to.

    `figures`, where they apply: reading_grade (Flesch-Kincaid, mean of stems), longest_is_key and
    chance (0..1), position_p and position_holm (0..1), distinct (contents), estimated (contents,
    Chao 1984), declared (contents, 0: not declared), alike (0..1: two questions drawn at random
    have the same content), way_gain (0..1: what the best way to guess gains over chance).
    `best_way` names that way; '' where nothing can be guessed.
    """

    family: str
    items: int
    findings: tuple[Finding, ...]
    figures: dict[str, float] = field(default_factory=dict)
    best_way: str = ""

    @property
    def passed(self) -> bool:
        """Whether nothing was found."""
        return not self.findings

    @property
    def method(self) -> str:
        """The family's method."""
        return self.family.rpartition(".")[2]
