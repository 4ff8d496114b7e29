"""What only many items of a family can show. A look gives figures and findings."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import sqrt

from scipy.stats import chi2

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.audit import surface
from trainer.core.scenarios.audit.capacity import measured
from trainer.core.scenarios.audit.guidelines import name_of
from trainer.core.scenarios.audit.knowledge import right_texts
from trainer.core.scenarios.audit.result import Finding
from trainer.core.scenarios.content import content
from trainer.core.scenarios.family import Family
from trainer.core.scenarios.reading import grade

HARDEST_GRADE = 8.0
READ = 200
"""Stems that are read for the mean grade; more hardly move it."""
MOST_ALIKE = 1 / 6
"""How often two items drawn at random may have the same content; judged."""
LONGEST_SLACK = 0.03
"""Points either side of chance that the key may be the longest, over enough questions."""
ENOUGH_FOR_LONGEST = 1000
WAY_SLACK = 0.2
"""Points over chance that a way to guess may gain in one family; judged. Over all families
together the tests ask for far less: what gives one away in one family misleads in the next."""
SURELY = 2.0
"""Standard errors beyond that slack: in a small sample the best of so many ways is above it by
chance. At 2,000 seeds they are two points."""
STANDARD_ERRORS = 4.0
"""A gain counts only when it is also so many standard errors: many are looked at."""
ENOUGH = 100
ENOUGH_TO_COUNT = 1000
"""Items before a promise is judged: from fewer, cases that come seldom are estimated too low."""
LEAST_EACH = 10
"""Items for each place in the list before the places are tested."""
KEY_WORDS = 4


@dataclass
class Looked:
    """The items of a family, and what was found of them so far."""

    bank: Bank
    family: Family
    items: Sequence[Item]
    figures: dict[str, float] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    best_way: str = ""

    def find(self, number: str, what: str) -> None:
        """Note a finding over all items."""
        self.findings.append(Finding(name_of(number), what))


def positions(seen: Looked) -> None:
    """HDR 20: one chi-square for the family, over lists of every length. Judged in `settle`."""
    by_size: dict[int, Counter[str]] = {}
    for item in seen.items:
        if item.heading.type == "choose_one":
            by_size.setdefault(len(item.options), Counter())[item.key[0]] += 1
    statistic, freedom = 0.0, 0
    for size, counts in by_size.items():
        n = sum(counts.values())
        if n >= LEAST_EACH * size:
            placed = [counts["abcdefghij"[place]] for place in range(size)]
            statistic += sum((count - n / size) ** 2 for count in placed) * size / n
            freedom += size - 1
    if freedom:
        seen.figures["position_p"] = float(chi2.sf(statistic, freedom))


def guesses(seen: Looked) -> None:
    """HDR 20, 24, 28: no way to guess from the surface gains much over chance."""
    open_ones = [item for item in seen.items if surface.can_guess(item)]
    n = len(open_ones)
    if n < ENOUGH:
        return
    chance = sum(map(surface.chance, open_ones)) / n
    gains = {
        name: sum(surface.success(item, way(item)) for item in open_ones) / n - chance
        for name, way in surface.WAYS.items()
    }
    seen.best_way = max(gains, key=lambda name: gains[name])
    seen.figures["way_gain"] = gains[seen.best_way]
    far = STANDARD_ERRORS * sqrt(chance * (1 - chance) / n)
    for name, gain in gains.items():
        rate = min(chance + gain, 1.0)
        unsure = SURELY * sqrt(rate * (1 - rate) / n)
        if gain > max(WAY_SLACK + unsure, far):
            what = f"choosing {name} is right in {chance + gain:.0%}, chance is {chance:.0%}"
            seen.find(surface.GUIDELINE.get(name, "HDR 28d"), what)
    if open_ones[0].heading.type == "choose_one":
        _longest(seen, gains["the longest"], chance, n)


def _longest(seen: Looked, gain: float, chance: float, n: int) -> None:
    seen.figures["longest_is_key"], seen.figures["chance"] = chance + gain, chance
    if n >= ENOUGH_FOR_LONGEST and abs(gain) > LONGEST_SLACK and gain <= WAY_SLACK:
        what = f"the right answer is longest in {chance + gain:.1%}, chance is {chance:.1%}"
        seen.find("HDR 24", what)


def reading(seen: Looked) -> None:
    """HDR 8."""
    stems = [item.stem for item in seen.items[:READ]]
    mean = sum(map(grade, stems)) / max(1, len(stems))
    seen.figures["reading_grade"] = mean
    if mean > HARDEST_GRADE:
        seen.find("HDR 8", f"mean reading grade {mean:.1f}")


def variety(seen: Looked) -> None:
    """HDR 3 and design 4.6: cases do not come back too soon; the declared capacity is there."""
    found = measured(content(seen.bank, item) for item in seen.items)
    declared = seen.family.capacity
    seen.figures |= {
        "distinct": float(found.distinct),
        "estimated": found.estimated,
        "declared": float(declared),
        "alike": found.alike,
    }
    if len(seen.items) < ENOUGH:
        return
    if found.alike > MOST_ALIKE:
        seen.find("design 4.6b", f"two questions in {1 / found.alike:.1f} are about the same case")
    enough = len(seen.items) >= ENOUGH_TO_COUNT
    if enough and declared > found.distinct and declared > found.high:
        what = f"{found.distinct} cases seen, {found.estimated:.0f} estimated, {declared} declared"
        seen.find("design 4.6c", what)


def independence(seen: Looked) -> None:
    """HDR 4: no item of the family tells the key of the next; enemies are known."""
    for one, other in zip(seen.items[:READ], seen.items[1:READ], strict=False):
        if one.heading.type != "choose_one":
            break
        key = right_texts(one)[0].strip(".")
        if len(key.split()) >= KEY_WORDS and key.casefold() in other.stem.casefold():
            seen.find("HDR 4", f"a question holds another's answer: {key[:60]!r}")
            break
    for enemy in seen.family.recipe.enemies:
        if enemy not in seen.bank.item_models:
            seen.find("HDR 4", f"kept apart from {enemy}, which is unknown")


LOOKS: tuple[Callable[[Looked], None], ...] = (
    positions,
    guesses,
    reading,
    variety,
    independence,
)
