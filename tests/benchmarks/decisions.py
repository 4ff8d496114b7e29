"""How often decisions are wrong, how true their stated probabilities are, what the rule costs.

Run: python -m tests.benchmarks.decisions [people]. Forms are the site's own; people are made up,
with true abilities spread about the cut; families differ from what their features say. The rule
of critical errors is tried in several settings: how many fresh questions, how many must be right.
"""

import sys
from dataclasses import dataclass

import numpy as np

from tests.cohort.learners import HELD
from tests.cohort.measures import Sat, rates, reliability, worst_gap
from tests.cohort.truth import Truth
from trainer.core.draw import Draw
from trainer.core.items.codec import from_kept
from trainer.core.items.registry import type_of
from trainer.core.measurement.decision import decide
from trainer.core.measurement.response_model import ability_for_share
from trainer.use_cases import sit_assessment
from trainer.use_cases.demo_learner import answer
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.know_difficulty import difficulty_of
from trainer.use_cases.open_bank import open_bank

METHODS = ("tape_in", "fusion_bond", "sewn_weft")
FORMS, SPREAD, SLIPS = 60, 1.0, 6
RULES = ((0, 0), (1, 1), (2, 1), (2, 2), (3, 2), (3, 3))
DISTANCES = (-1.0, -0.5, 0.5, 1.0)


@dataclass(frozen=True)
class Sheet:
    """A form: its items' parameters as judged and as they truly are, and who can hurt.

    `hurts`: for each item the share of wrong answers that count as a critical error.
    """

    method: str
    judged: tuple
    true: tuple
    hurts: np.ndarray
    families: tuple[str, ...]
    share: float

    @property
    def cut(self) -> float:
        """The ability that the cut asks for, by the judged parameters."""
        a, b, floor = (
            np.array([getattr(one, name) for one in self.judged])
            for name in ("slope", "b", "floor")
        )
        return ability_for_share(self.share, a, b, floor)

    def chances(self, theta: np.ndarray) -> np.ndarray:
        """(people, items): true probability of a right answer."""
        a, b, floor = (np.array([getattr(o, n) for o in self.true]) for n in ("a", "b", "floor"))
        return floor + (1 - floor) / (1 + np.exp(-a * (theta[:, None] - b)))


def sheets(bank, count: int) -> list[Sheet]:
    truth, out = Truth("decisions"), []
    for number in range(count):
        method = METHODS[number % len(METHODS)]
        items = [from_kept(row["kept"]) for row in sit_assessment.prepare(bank, method).items]
        judged = tuple(difficulty_of(item) for item in items)
        true = tuple(truth.of(item) for item in items)
        hurts = np.array([_hurts(item) for item in items])
        families = tuple(item.heading.family for item in items)
        share = blueprint_of(bank, method).cut_share
        out.append(Sheet(method, judged, true, hurts, families, share))
    return out


def _hurts(item) -> float:
    """Among some real slips, how many count as a critical error."""
    kind, found = type_of(item), []
    for number in range(SLIPS):
        sent = answer(item, False, Draw("hurts", item.heading.id, number))
        found.append(kind.mark(item, kind.read(sent, item)).critical_error)
    return sum(found) / SLIPS


def sit(sheet: Sheet, theta: np.ndarray, rng, believes: bool = False):
    """Answers, and by rule who has nothing unresolved. `believes`: each one dangerous idea."""
    chance = sheet.chances(theta)
    if believes:
        dangerous = np.flatnonzero(sheet.hurts > 0.5)
        chance[np.arange(len(theta)), rng.choice(dangerous, len(theta))] *= HELD
    right = rng.random(chance.shape) < chance
    critical = ~right & (rng.random(chance.shape) < sheet.hurts)
    resolved = {}
    for asked, needed in RULES:
        fresh = rng.binomial(asked, chance)
        resolved[asked, needed] = ~(critical & (fresh < needed)).any(axis=1)
    return right, resolved


def main(people: int) -> None:
    rng = np.random.default_rng(20260301)
    each = people // FORMS
    sat = {rule: [] for rule in RULES}
    held = {rule: [] for rule in RULES}
    for sheet in sheets(open_bank(), FORMS):
        above = rng.normal(0, SPREAD, each)
        for believes, into in ((False, sat), (True, held)):
            right, resolved = sit(sheet, sheet.cut + above, rng, believes)
            for row, (far, answers) in enumerate(zip(above, right, strict=True)):
                decision = decide(tuple(answers.tolist()), sheet.judged, sheet.share, 0)
                for rule in RULES:
                    passed = decision.reached_cut and bool(resolved[rule][row])
                    one = Sat(float(far), decision.reached_cut, passed, decision.confidence)
                    into[rule].append(one)
    _print(sat, held)


def _print(sat, held) -> None:
    print(f"{len(sat[RULES[0]])} decisions on {FORMS} forms\n\nStated against true probability")
    stated = reliability(sat[RULES[0]])
    for one in stated:
        print(
            f"  {one.low:.1f}-{one.high:.1f}  stated {one.stated:.3f}  true {one.true:.3f}"
            f"  ({one.decisions})"
        )
    print(f"  largest gap {100 * worst_gap(stated):.1f} points\n")
    print("Reached the cut, and passed by rule (fresh questions, right needed), by distance")
    for one in rates(sat[RULES[0]], DISTANCES):
        print(f"  {one.above:+.1f} SD: reached {one.reached:6.1%} of {one.people}")
    for rule in RULES:
        line = "  ".join(
            f"{one.above:+.1f}: {one.passed:6.1%}" for one in rates(sat[rule], DISTANCES)
        )
        (wrong,) = rates(held[rule], (0.5,))
        print(f"  {rule}: {line}   with a dangerous belief at +0.5: {wrong.passed:6.1%}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20_000)
