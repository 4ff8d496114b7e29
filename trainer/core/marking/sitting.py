"""What a sitting comes to: raw score, critical errors, the siblings they call for, topics."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trainer.core.items.item import Mark
from trainer.core.knowledge.words import Topic

FULL = 1.0 - 1e-9


@dataclass(frozen=True, slots=True)
class Answered:
    """One item of a sitting and what was made of it; `mark` is None where nothing was answered."""

    position: int
    family: str
    topic: Topic
    critical: bool
    facts: tuple[str, ...]
    mark: Mark | None

    @property
    def right(self) -> bool:
        """Wholly right: part of an answer is not a point."""
        return self.mark is not None and self.mark.score >= FULL

    @property
    def critical_error(self) -> bool:
        """Answered in a way that can injure."""
        return self.mark is not None and self.mark.critical_error

    @property
    def left_open(self) -> bool:
        """A critical item without an answer."""
        return self.critical and self.mark is None


@dataclass(frozen=True, slots=True)
class Sibling:
    """A fresh item that is called for: which family, which one of how many."""

    family: str
    number: int


def raw_score(main: Sequence[Answered]) -> int:
    """How many items are wholly right, 0..len(main)."""
    return sum(one.right for one in main)


def called_for(main: Sequence[Answered], needed: int, each: int) -> tuple[Sibling, ...]:
    """The fresh siblings that a sitting's critical errors bring.

    `each` siblings for each family with a critical error. A critical item left open counts like
    an error when the raw score reaches `needed`: leaving it out is no way round it.
    """
    reached = raw_score(main) >= needed
    families = dict.fromkeys(
        one.family for one in main if one.critical_error or (reached and one.left_open)
    )
    return tuple(Sibling(family, n) for family in families for n in range(1, each + 1))


def unresolved(confirm: Sequence[Answered], needed: int) -> tuple[str, ...]:
    """The families of whose siblings fewer than `needed` are right, in order.

    Where fewer siblings than that were asked, all of them must be.
    """
    by_family: dict[str, list[bool]] = {}
    for one in confirm:
        by_family.setdefault(one.family, []).append(one.right)
    return tuple(
        family for family, right in by_family.items() if sum(right) < min(needed, len(right))
    )


def topics_to_work_on(
    main: Sequence[Answered], unresolved_families: Sequence[str], share: float
) -> tuple[Topic, ...]:
    """Topics with an unresolved critical error first, then those under the cut's share.

    `share`: the cut as a share, 0..1. Weakest first among the latter.
    """
    referred = [one.topic for one in main if one.family in unresolved_families]
    weak = sorted((rate, topic) for topic, rate in rates(main).items() if rate < share)
    return tuple(dict.fromkeys([*referred, *(topic for _, topic in weak)]))


def rates(main: Sequence[Answered]) -> Mapping[Topic, float]:
    """Topic -> share wholly right, 0..1, for topics that had items."""
    by_topic: dict[Topic, list[bool]] = {}
    for one in main:
        by_topic.setdefault(one.topic, []).append(one.right)
    return {topic: sum(right) / len(right) for topic, right in by_topic.items()}
