"""Thousands of seeds of a family -> what is wrong with it, each finding with its guideline.

Guidelines are those of Haladyna, Downing & Rodriguez 2002, Applied Measurement in Education
15(3), 309-333, table 1, by their number (HDR n); 'design' marks our own.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import sqrt

from scipy.stats import chisquare

from trainer.core.items.item import Item
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.audit_item import item_findings
from trainer.core.scenarios.family import Family
from trainer.core.scenarios.generate import generate
from trainer.core.scenarios.reading import grade

LEAST_P = 0.00001
"""Chance of calling a sound family crooked, for one family; small since many are tested."""
HARDEST_GRADE = 8.0
MOST_REPEATED = 0.5
"""Share of seeds whose content (words of names aside) may have been seen before."""
LONGEST_SLACK = 3.0
"""Standard errors that the longest-is-key rate may lie above chance."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What is wrong, under which guideline, and with which seed it shows (-1: all together)."""

    guideline: str
    what: str
    seed: int = -1


@dataclass(frozen=True, slots=True)
class AuditResult:
    """What an audit of a family came to."""

    family: str
    items: int
    findings: tuple[Finding, ...]
    figures: dict[str, float] = field(default_factory=dict)

    @property
    def passed(self) -> bool:
        """Whether nothing was found."""
        return not self.findings


def audit(bank: Bank, family: Family, count: int, level: str = "working") -> AuditResult:
    """Audit a family over seeds 0..count-1. count >= 1."""
    made: list[tuple[int, Item]] = []
    findings: list[Finding] = []
    for seed in range(count):
        try:
            made.append((seed, generate(bank, family.id, seed, level)))
        except RuntimeError as problem:
            findings.append(Finding("design 4.3: one sound item for each seed", str(problem), seed))
    for seed, item in made:
        findings += [
            Finding(guideline, what, seed) for guideline, what in item_findings(bank, item)
        ]
    items = [item for _, item in made]
    figures: dict[str, float] = {}
    for look in TOGETHER:
        findings += look(items, figures)
    return AuditResult(family.id, len(items), tuple(findings), figures)


def _positions(items: Sequence[Item], figures: dict[str, float]) -> list[Finding]:
    """The key stands in every place about as often."""
    placed = [item for item in items if item.heading.type == "choose_one"]
    by_size: dict[int, Counter[str]] = {}
    for item in placed:
        by_size.setdefault(len(item.options), Counter())[item.key[0]] += 1
    found = []
    for size, counts in by_size.items():
        seen = [counts["abcdefghij"[place]] for place in range(size)]
        if sum(seen) >= 10 * size:
            p = float(chisquare(seen).pvalue)
            figures["position_p"] = min(p, figures.get("position_p", 1.0))
            if p < LEAST_P:
                found.append(Finding("HDR 20: vary the place of the key", f"counts {seen}"))
    return found


def _longest(items: Sequence[Item], figures: dict[str, float]) -> list[Finding]:
    """The key is the longest option no more often than chance."""
    placed = [item for item in items if item.heading.type == "choose_one"]
    if not placed:
        return []
    longest = sum(_key_is_longest(item) for item in placed) / len(placed)
    chance = sum(1 / len(item.options) for item in placed) / len(placed)
    figures["longest_is_key"], figures["chance"] = longest, chance
    spread = sqrt(chance * (1 - chance) / len(placed))
    if longest > chance + LONGEST_SLACK * spread:
        what = f"key is longest in {longest:.0%}, chance is {chance:.0%}"
        return [Finding("HDR 24: keep the length of options about equal", what)]
    return []


def _key_is_longest(item: Item) -> float:
    length = {option.id: len(option.text) for option in item.options}
    top = [name for name, long in length.items() if long == max(length.values())]
    return 1 / len(top) if item.key[0] in top else 0.0


def _grade(items: Sequence[Item], figures: dict[str, float]) -> list[Finding]:
    """Words that most people read with ease."""
    mean = sum(grade(item.stem) for item in items) / max(1, len(items))
    figures["reading_grade"] = mean
    if mean > HARDEST_GRADE:
        return [Finding("HDR 13: keep the reading load low", f"mean reading grade {mean:.1f}")]
    return []


def _repeats(items: Sequence[Item], figures: dict[str, float]) -> list[Finding]:
    """Content does not come back too soon."""
    contents = {content(item) for item in items}
    repeated = 1 - len(contents) / max(1, len(items))
    figures["distinct"], figures["repeated"] = float(len(contents)), repeated
    few = len(items) >= ENOUGH and repeated > MOST_REPEATED and len(contents) < LEAST_DISTINCT
    if few:
        return [Finding("HDR 3: use novel material", f"{repeated:.0%} repeated")]
    return []


ENOUGH, LEAST_DISTINCT = 100, 12


def content(item: Item) -> str:
    """What an item asks, names and order of options aside; a drawing by its words."""
    options = sorted(option.text for option in item.options)
    right = sorted(type_of(item).say_key(item))
    drawn = [item.figure["alt"]] if item.figure else []
    return "\x1f".join([*options, "=", *right, *drawn])


TOGETHER: tuple[Callable[[Sequence[Item], dict[str, float]], list[Finding]], ...] = (
    _positions,
    _longest,
    _grade,
    _repeats,
)
