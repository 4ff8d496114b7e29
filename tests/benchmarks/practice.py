"""Does the site's own choice of scenarios bring people to the standard sooner than chance would?

Run: python -m tests.benchmarks.practice [learners]. Made-up learners of three published models of
learning practise one method through the use cases, chosen for or at random, until what they would
get right over the blueprint reaches the cut. Goal: at most 75 % of the questions, in each model.
"""

import sys
from datetime import datetime, timedelta
from pathlib import Path
from statistics import fmean, median
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


def main(learners: int) -> None:
    bank = open_bank()
    stick = Yardstick(bank)
    with TemporaryDirectory() as folder:
        work = Work(f"sqlite:///{Path(folder) / 'practice.db'}")
        work.prepare()
        place = an_organisation(work)
        for name, kind in LEARNING.items():
            counts = {}
            for said, plan in (("chosen", helped), ("random", at_random)):
                counts[said] = [
                    until_standard(
                        _walk(work, bank, place, kind(f"{name} {n}", START)), stick, plan
                    )
                    for n in range(learners)
                ]
            ratio = fmean(counts["chosen"]) / fmean(counts["random"])
            print(
                f"{name}: chosen {fmean(counts['chosen']):.0f} (median"
                f" {median(counts['chosen']):.0f}), random {fmean(counts['random']):.0f} (median"
                f" {median(counts['random']):.0f}), ratio {ratio:.2f}",
                flush=True,
            )
        work.close()


def _walk(work, bank, place, learner) -> Walk:
    return Walk(work, bank, a_person(work, organisation=place), learner)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
