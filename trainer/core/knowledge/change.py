"""What has changed between two sets of facts, and what of it has to be learned anew."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.core.knowledge.words import Service, Topic

Kind = Literal["changed", "added", "retired"]
AROUND = ".,;:!?()\"'“”‘’"
"""Marks around a word that do not change what it means."""


@dataclass(frozen=True, slots=True)
class Taught:
    """A fact as a learner meets it.

    `said`: the statement with its figures in place; `low` and `high` in `unit`, None without
    figures. `method`: a method's id, 'bonded' or 'all'. `rests_on`: what it rests on, in words.
    """

    id: str
    method: str
    service: Service
    topic: Topic
    said: str
    critical: bool
    low: float | None = None
    high: float | None = None
    unit: str = ""
    rests_on: str = ""

    @property
    def meaning(self) -> tuple[object, ...]:
        """What has to be learned: words, figures, for which methods, and whether it can injure.

        Case, spacing and punctuation are no part of it; nor is the source, or where it is filed.
        """
        words = tuple(word.strip(AROUND) for word in self.said.casefold().split())
        figures = (self.low, self.high, self.unit)
        return (words, figures, self.method, self.critical)


@dataclass(frozen=True, slots=True)
class Change:
    """One fact that is not as it was. `before` is None for an added, `after` for a retired one."""

    kind: Kind
    before: Taught | None
    after: Taught | None

    @property
    def fact(self) -> Taught:
        """The fact as it is now, or as it last was."""
        found = self.after or self.before
        if found is None:
            raise ValueError("a change of nothing")
        return found

    @property
    def critical(self) -> bool:
        """Whether it was or is such that getting it wrong can injure."""
        return any(one is not None and one.critical for one in (self.before, self.after))

    @property
    def new_meaning(self) -> bool:
        """Whether it means something else now, or is new or gone."""
        if self.before is None or self.after is None:
            return True
        return self.before.meaning != self.after.meaning

    @property
    def asks_again(self) -> bool:
        """Whether somebody who learned the old words has to be asked again.

        So it is for a critical fact that means something else now. One that is new was never
        learned otherwise, one that is gone or no longer critical asks nothing.
        """
        changed = self.before is not None and self.after is not None
        return changed and self.fact.critical and self.new_meaning


def compare(before: Mapping[str, Taught], after: Mapping[str, Taught]) -> tuple[Change, ...]:
    """Say what has changed from one set of facts to another.

    Parameters
    ----------
    before, after : Facts by id.

    Returns
    -------
    A change for each fact that is new, gone, or differs in anything at all, by id; none for others.
    """
    changes = []
    for name in sorted({*before, *after}):
        old, new = before.get(name), after.get(name)
        if old != new:
            kind: Kind = "added" if old is None else "retired" if new is None else "changed"
            changes.append(Change(kind, old, new))
    return tuple(changes)
