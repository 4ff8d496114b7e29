"""How often decisions are wrong, how true their stated probabilities are, what the rule costs.

Run: python -m tests.benchmarks.decisions [people]. Made-up people of known ability sit the site's
own forms. Families differ from what their features say; first a pilot is calibrated and the cut
set on some questions, as a site would do it. Then the rule of critical errors is tried in several
settings: how many fresh questions, how many of them must be right. Who holds a dangerous belief
answers one dangerous family by it: that is what the rule is there to stop.
"""

import sys
from dataclasses import dataclass
from datetime import date

import numpy as np

from tests.cohort.learners import HELD
from tests.cohort.measures import Sat, rates, reliability, worst_gap
from tests.cohort.truth import Truth
from trainer.core.draw import Draw
from trainer.core.items.codec import from_kept
from trainer.core.items.registry import type_of
from trainer.core.measurement.calibration.linking import linked
from trainer.core.measurement.calibration.recalibrate import Answer, recalibrate
from trainer.core.measurement.decision import Equated, decide, parameters
from trainer.core.measurement.response_model import ability_for_share
from trainer.core.measurement.standard_setting.equating import ability_cut, raw_cut
from trainer.use_cases import sit_assessment
from trainer.use_cases.demo_learner import answer
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.open_bank import open_bank

METHODS = ("tape_in", "fusion_bond", "sewn_weft")
PILOT, FORMS, PANEL, SLIPS = 150, 20, 24, 6
MEAN, SPREAD = 1.5, 1.0
"""Abilities of those who come to be assessed [theta]."""
RULES = ((0, 0), (1, 1), (2, 1), (3, 1), (3, 2), (3, 3), (4, 2), (5, 3))
DISTANCES = (-1.0, -0.5, 0.5, 1.0)
TRUTH = Truth("decisions")


@dataclass(frozen=True)
class Sheet:
    """A form: its items, their true parameters, and who of its wrong answers can hurt (shares)."""

    method: str
    items: tuple
    true: tuple
    hurts: np.ndarray

    def chances(self, theta: np.ndarray) -> np.ndarray:
        """(people, items): true probability of a right answer."""
        a, b, floor = (np.array([getattr(o, n) for o in self.true]) for n in ("a", "b", "floor"))
        return floor + (1 - floor) / (1 + np.exp(-a * (theta[:, None] - b)))


def sheet_of(bank, method: str) -> Sheet:
    items = tuple(from_kept(row["kept"]) for row in sit_assessment.prepare(bank, method).items)
    true = tuple(TRUTH.of(item) for item in items)
    return Sheet(method, items, true, np.array([_hurts(item) for item in items]))


def _hurts(item) -> float:
    """Among some real slips, how many count as a critical error."""
    if not item.critical:
        return 0.0
    kind, found = type_of(item), []
    for number in range(SLIPS):
        sent = answer(item, False, Draw("hurts", item.heading.id, number))
        found.append(kind.mark(item, kind.read(sent, item)).critical_error)
    return sum(found) / SLIPS


def pilot(sheets, rng):
    """A calibration of what the first people answered."""
    answers = []
    for number in range(PILOT * len(METHODS)):
        sheet = sheets[number % len(sheets)]
        chance = sheet.chances(np.array([rng.normal(MEAN, SPREAD)]))[0]
        for item, right in zip(sheet.items, rng.random(len(chance)) < chance, strict=True):
            heading, floor = item.heading, type_of(item).chance(item)
            answers.append(
                Answer(
                    f"{number}", heading.family, bool(right), heading.level, item.features, floor
                )
            )
    return linked(recalibrate(answers, date(2026, 3, 3)), None)


def judged_of(sheet: Sheet, calibration) -> tuple:
    return tuple(
        calibration.difficulty(
            item.heading.family, item.heading.level, item.features, type_of(item).chance(item)
        )
        for item in sheet.items
    )


def cut_for(sheets, judged, share: float) -> tuple[float, float]:
    """The true ability that is just good enough, and the one that a panel would find by it."""
    true = parameters([one for sheet in sheets for one in sheet.true])
    theta = ability_for_share(share, *true)
    rated = sheets[0].chances(np.array([theta]))[0][:PANEL]
    found = ability_cut(float(rated.sum()), 0.5, *parameters(judged[0][:PANEL]))
    return theta, found.ability


def sit(sheet: Sheet, theta: np.ndarray, rng, believes: bool):
    """Answers, and by rule who has nothing unresolved."""
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
    rng, bank = np.random.default_rng(20260301), open_bank()
    sheets = {method: [sheet_of(bank, method) for _ in range(FORMS)] for method in METHODS}
    calibration = pilot([one for found in sheets.values() for one in found], rng)
    print(f"calibrated from {calibration.answers} answers, settled: {calibration.converged}")
    free = {rule: [] for rule in RULES}
    held = {rule: [] for rule in RULES}
    each, centre = people // (FORMS * len(METHODS)), calibration.centre
    for method, found in sheets.items():
        judged = [judged_of(sheet, calibration) for sheet in found]
        cut, ability = cut_for(found, judged, blueprint_of(bank, method).cut_share)
        for sheet, families in zip(found, judged, strict=True):
            equated = Equated(raw_cut(ability, *parameters(families)), ability)
            theta = rng.normal(MEAN, SPREAD, each)
            for believes, into in ((False, free), (True, held)):
                right, resolved = sit(sheet, theta, rng, believes)
                for row, (one, answers) in enumerate(zip(theta, right, strict=True)):
                    _add(into, one - cut, answers, families, equated, centre, resolved, row)
    _print(free, held)


def _add(into, above, answers, families, equated, centre, resolved, row) -> None:
    decision = decide(tuple(answers.tolist()), families, 0.75, 0, equated, centre)
    for rule in RULES:
        passed = decision.reached_cut and bool(resolved[rule][row])
        into[rule].append(Sat(float(above), decision.reached_cut, passed, decision.confidence))


def _print(free, held) -> None:
    everybody = free[RULES[0]]
    print(f"{len(everybody)} decisions\n\nStated against true probability that the cut is right")
    stated = reliability(everybody)
    for one in stated:
        print(
            f"  {one.low:.1f}-{one.high:.1f}  stated {one.stated:.3f}  true {one.true:.3f}"
            f"  ({one.decisions})"
        )
    print(f"  largest gap {100 * worst_gap(stated):.1f} points\n\nReached the cut, by distance")
    for one in rates(everybody, DISTANCES):
        print(f"  {one.above:+.1f} SD: {one.reached:6.1%} of {one.people}")
    print("Passed, by rule (fresh questions, right needed); with a dangerous belief at +0.5, +1.0")
    for rule in RULES:
        found = rates(free[rule], DISTANCES)
        line = "  ".join(f"{one.above:+.1f}: {one.passed:6.1%}" for one in found)
        wrong = "  ".join(f"{one.passed:6.1%}" for one in rates(held[rule], (0.5, 1.0)))
        print(f"  {rule}: {line}   believers: {wrong}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20_000)
