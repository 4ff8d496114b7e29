"""A made-up cohort through the whole path: practice, calibration, panel, assessment, decision.

Run: python -m tests.benchmarks.cohort [people] [processes] (2,000 takes some twenty minutes).
Everybody practises a little and sits one assessment of one method, through the use cases and a
database. A first part of them is calibrated and the calibration adopted; two instructors rate as
well as anybody could, and their cut is adopted; then come those whose decisions are counted.
At the end, over several worlds of 120 people who practise: the growth that the calibration finds
beside the planted one, and how often 90 % intervals of ability in practice hold the true one.
"""

import os
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from shutil import copyfile
from statistics import fmean
from tempfile import TemporaryDirectory

import numpy as np

from tests.cohort.kept import NINETY, away, calibrate, keep_practice, people_of, site_scale
from tests.cohort.learners import Learner
from tests.cohort.measures import Sat, rates, reliability, scale_of
from tests.cohort.path import Walk, practise_once, sit
from tests.cohort.truth import Truth, normal
from tests.support.people import NOW, a_person, an_organisation
from trainer.core.draw import Draw
from trainer.core.items.codec import from_kept
from trainer.core.measurement.ability import Ability
from trainer.core.measurement.decision import parameters, shown
from trainer.core.measurement.growth import Growth
from trainer.core.measurement.priors import Difficulty
from trainer.core.measurement.response_model import ability_for_share
from trainer.store import standards
from trainer.store.sittings import MAIN
from trainer.use_cases import set_standard
from trainer.use_cases.finish_sitting import review
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.typical_items import typical_items
from trainer.use_cases.work import Work

METHOD, PRACTISED = "tape_in", 6
MEAN, SPREAD = 1.5, 1.0
DISTANCES = (-1.0, -0.5, 0.5, 1.0)
TRUTH = Truth("cohort")
LATER = timedelta(days=40)
A_PART = 50
PLANTED, WORLDS = Growth(0.03, 0.05, 0.05), 8
PILOT, LONG, NEW, SHORT = 120, 40, 1000, 25
"""People and answers of each, to calibrate by and to be known."""


def walk(work, bank, place, number: int) -> Walk:
    theta = MEAN + SPREAD * normal(Draw("cohort", number))
    someone = a_person(work, organisation=place)
    return Walk(work, bank, someone, Learner(f"cohort {number}", theta, TRUTH))


def true_cut(bank) -> float:
    """The ability that gets the blueprint's share of the method's questions right."""
    true = [TRUTH.of(item) for item in typical_items(bank, METHOD).values()]
    return ability_for_share(blueprint_of(bank, METHOD).cut_share, *parameters(true))


def set_cut(work, bank, place, cut: float) -> None:
    """Two instructors rate every question by how the just able would do; one adopts for both."""
    raters = [a_person(work, "instructor", organisation=place).viewer for _ in range(2)]
    head = a_person(work, "administrator", organisation=place).viewer
    prepared = set_standard.prepare(bank, METHOD)
    with work.writing(raters[0]) as unit:
        panel = set_standard.open_panel(unit, bank, prepared, NOW)
    for number in (1, 2):
        for rater in raters:
            with work.writing(rater) as unit:
                for row in standards.items(unit, panel):
                    chance = TRUTH.chance(from_kept(row.kept), cut)
                    slip = normal(Draw("rates", rater.person_id, number, row.position)) / 2
                    of_ten = max(0, min(10, round(10 * chance + slip)))
                    set_standard.rate(unit, panel, row.position, of_ten, NOW)
        with work.writing(raters[0]) as unit:
            set_standard.end_round(unit, panel, NOW)
    with work.writing(raters[0]) as unit:
        set_standard.propose(unit, bank, panel, NOW)
    with work.writing(head) as unit:
        set_standard.adopt(unit, bank, panel, NOW)
        found = standards.in_force(unit, METHOD)
        print(f"cut: true {cut:.2f}, the panel's {found.ability:.2f}", flush=True)


@dataclass(frozen=True)
class Shown:
    """What a sitting showed of an ability beside the truth, and of its families: (found, true)."""

    theta: float
    known: Ability
    families: list[tuple[Difficulty, Difficulty]]


def assessed(work, bank, place, number: int, now) -> tuple[Sat, Shown]:
    """One of the cohort practises a little and sits."""
    one = walk(work, bank, place, number)
    for minute in range(PRACTISED):
        practise_once(one, METHOD, now + timedelta(minutes=minute))
    sitting = sit(one, METHOD, now + timedelta(hours=1))
    with work.reading(one.someone.viewer) as unit:
        row, reviewed = review(unit, sitting.id)
        main = [asked for asked in reviewed if asked.phase == MAIN]
        known = shown(
            [asked.answered.right for asked in main],
            [asked.difficulty for asked in main],
            float(row.outcome.get("centre", 0.0)),
        )
        above, reached = one.learner.theta - true_cut(bank), row.outcome["reached_cut"]
        sat = Sat(above, reached, bool(row.passed), row.confidence)
    families = [(asked.difficulty, TRUTH.of(asked.item)) for asked in main]
    return sat, Shown(one.learner.theta, known, families)


def some_of(file: str, numbers: Sequence[int]) -> list[tuple[Sat, Shown]]:
    """Those after the pilot, in a copy of the database that the pilot left."""
    bank = open_bank()
    with TemporaryDirectory() as folder:
        copy = Path(folder) / "part.db"
        copyfile(file, copy)
        work = Work(f"sqlite:///{copy}")
        place = an_organisation(work, f"Part {numbers[0]}")
        found = [assessed(work, bank, place, number, NOW + LATER) for number in numbers]
        work.close()
    return found


def main(people: int, processes: int) -> None:
    bank, pilot = open_bank(), people // 5
    with TemporaryDirectory() as folder:
        file = Path(folder) / "cohort.db"
        work = Work(f"sqlite:///{file}")
        work.prepare()
        place = an_organisation(work)
        for number in range(pilot):
            assessed(work, bank, place, number, NOW)
        calibrate(work, bank, NOW)
        set_cut(work, bank, place, true_cut(bank))
        work.close()
        after = range(pilot, people)
        parts = [after[at : at + A_PART] for at in range(0, len(after), A_PART)]
        with ProcessPoolExecutor(processes) as pool:
            done = pool.map(some_of, [str(file)] * len(parts), parts)
            found = [one for part in done for one in part]
    _print([sat for sat, _ in found])
    tell_intervals([one for _, one in found])
    practice()


def tell_intervals(found: Sequence[Shown]) -> None:
    """How many intervals hold the true ability, once it is told on the scale of the site."""
    site = scale_of([pair for one in found for pair in one.families])
    off = [(site.told(one.theta) - one.known.mean) / one.known.sd for one in found]
    held = fmean(abs(one) < NINETY for one in off)
    print(f"  the site's scale: {site.step:.2f} x true + {site.start:.2f}")
    print(f"  90 % intervals of ability from a sitting hold the true one: {held:.3f}")


def practised(world: str) -> tuple[float, float]:
    """The gain found in one world, as that world has it, and the share of newcomers whose interval
    holds the truth."""
    bank = open_bank()
    with TemporaryDirectory() as folder:
        work = Work(f"sqlite:///{Path(folder) / 'practice.db'}")
        work.prepare()
        keep_practice(work, bank, METHOD, people_of(world, "pilot", PILOT, PLANTED), LONG)
        gain = calibrate(work, bank, NOW + LATER).whole.gain
        site = site_scale(work, bank, METHOD, Truth(world))
        off = away(work, bank, METHOD, people_of(world, "new", NEW, PLANTED), SHORT)
        work.close()
    return gain / site.step, float((np.abs(off) < NINETY).mean())


def practice() -> None:
    found = [practised(f"practice {number}") for number in range(WORLDS)]
    gains, held = np.array(found).T
    print(f"practice, {WORLDS} worlds: gain {PLANTED.gain}, found {gains.mean():.4f}", end="")
    print(f" (SD {gains.std(ddof=1):.4f}); 90 % intervals hold {held.mean():.3f}", end="")
    print(f" ({held.min():.3f} to {held.max():.3f})")


def _print(sat) -> None:
    print(f"{len(sat)} sittings after the pilot")
    for one in reliability(sat):
        print(f"  stated {one.stated:.3f}  true {one.true:.3f}  ({one.decisions})")
    for one in rates(sat, DISTANCES, 0.25):
        print(
            f"  {one.above:+.1f} SD: reached {one.reached:6.1%}, passed {one.passed:6.1%},"
            f" lost to critical errors {one.lost_to_critical:6.1%} of {one.people}"
        )
    right = np.mean([one.reached_cut == (one.above >= 0) for one in sat])
    print(f"  right about the cut {right:.3f}, stated {np.mean([o.confidence for o in sat]):.3f}")


if __name__ == "__main__":
    said = [int(one) for one in sys.argv[1:]]
    main(said[0] if said else 2000, said[1] if len(said) > 1 else os.cpu_count() or 1)
