"""Does the site's own choice of scenarios bring people to the standard sooner than chance would?

Run: python -m tests.benchmarks.practice [learners] [processes]. Made-up learners of three published
models of learning practise one method through the use cases, chosen for or at random, until what
they would get right over the blueprint reaches the cut. Goal: at most 75 % of the questions, in
each model. The error is that of the ratio of two means over the same learners.
"""

import os
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import datetime, timedelta
from math import sqrt
from pathlib import Path
from statistics import fmean, median, stdev
from tempfile import TemporaryDirectory

from tests.cohort.learners import LEARNING, Learner
from tests.cohort.path import Walk, at_random, helped, practise_once
from tests.support.people import NOW, a_person, an_organisation
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.practise import CONSULTATION
from trainer.use_cases.work import Work

METHOD, A_DAY, MOST = "tape_in", 15, 450
START = 0.3
"""Ability at the start [theta], where a model of learning has one."""
PLANS = {"chosen": helped, "random": at_random}
FIRST, A_BATCH = 2000, 5


class Yardstick:
    """What somebody would get right over the blueprint: one question of each family."""

    def __init__(self, bank) -> None:
        there = [one for one in families(bank, method=METHOD) if one.recipe.type != CONSULTATION]
        blueprint = blueprint_of(bank, METHOD)
        self.items = [generate(bank, one.id, 1) for one in there]
        topics = [one.topic for one in there]
        rest = [topic for topic in blueprint.rest_topics if topic in topics]
        share = dict(blueprint.shares) | {t: blueprint.rest_share / len(rest) for t in rest}
        self.weights = [share.get(topic, 0.0) / topics.count(topic) for topic in topics]
        self.cut = blueprint.cut_share

    def share(self, learner: Learner, now: datetime) -> float:
        """The expected share right, 0..1."""
        found = [learner.chance(item, now) for item in self.items]
        right = sum(w * p for w, p in zip(self.weights, found, strict=True))
        return right / sum(self.weights)


def until_standard(walk: Walk, stick: Yardstick, plan) -> int:
    """Questions practised until the standard is reached; MOST if it never is."""
    now = NOW
    for count in range(MOST):
        if stick.share(walk.learner, now) >= stick.cut:
            return count
        practise_once(walk, METHOD, now, plan)
        now += timedelta(minutes=3) if (count + 1) % A_DAY else timedelta(days=1)
    return MOST


def some_of(model: str, said: str, numbers: Sequence[int]) -> list[int]:
    """Questions that each of these learners needs, in a database of their own."""
    bank = open_bank()
    stick = Yardstick(bank)
    with TemporaryDirectory() as folder:
        work = Work(f"sqlite:///{Path(folder) / 'practice.db'}")
        work.prepare()
        place = an_organisation(work)
        found = []
        for number in numbers:
            learner = LEARNING[model](f"{model} {number}", START)
            walk = Walk(work, bank, a_person(work, organisation=place), learner)
            found.append(until_standard(walk, stick, PLANS[said]))
        work.close()
    return found


def error_of_ratio(above: Sequence[int], below: Sequence[int]) -> float:
    """Standard error of mean / mean over pairs (Cochran 1977, Sampling Techniques, ch. 6)."""
    ratio = fmean(above) / fmean(below)
    apart = stdev(one - ratio * other for one, other in zip(above, below, strict=True))
    return apart / sqrt(len(above)) / fmean(below)


def main(learners: int, processes: int) -> None:
    last = FIRST + learners
    parts = [range(at, min(at + A_BATCH, last)) for at in range(FIRST, last, A_BATCH)]
    with ProcessPoolExecutor(processes) as pool:
        asked = {
            (model, said): [pool.submit(some_of, model, said, part) for part in parts]
            for model in LEARNING
            for said in PLANS
        }
        for model in LEARNING:
            found = {
                said: [count for one in asked[model, said] for count in one.result()]
                for said in PLANS
            }
            _print(model, found["chosen"], found["random"])


def _print(model: str, chosen: Sequence[int], random: Sequence[int]) -> None:
    print(
        f"{model}: chosen {fmean(chosen):.0f} (median {median(chosen):.0f}), random"
        f" {fmean(random):.0f} (median {median(random):.0f}), ratio"
        f" {fmean(chosen) / fmean(random):.3f} +- {error_of_ratio(chosen, random):.3f}",
        flush=True,
    )


if __name__ == "__main__":
    said = [int(one) for one in sys.argv[1:]]
    main(said[0] if said else 100, said[1] if len(said) > 1 else os.cpu_count() or 1)
