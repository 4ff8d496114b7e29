"""A few of the cohort walk the whole path; the full counts are in tests/benchmarks."""

from datetime import timedelta

import pytest

from tests.cohort.learners import LEARNING, Fading, Guesser, KnowsOrNot, Learner
from tests.cohort.measures import Sat, rates, reliability, worst_gap
from tests.cohort.path import Walk, at_random, helped, practise_once, sit
from tests.cohort.truth import Truth
from tests.support.people import NOW, a_person
from trainer.core.scenarios.generate import generate
from trainer.use_cases.know_standard import standard_of

METHOD = "tape_in"


def walk(work, bank, learner):
    return Walk(work, bank, a_person(work), learner)


def test_the_able_reach_the_cut_and_the_unable_and_the_guesser_do_not(sqlite_work, bank):
    standard = standard_of(bank, METHOD)
    far = {"able": standard + 6, "unable": standard - 6}
    for name, theta in far.items():
        row = sit(walk(sqlite_work, bank, Learner(name, theta)), METHOD, NOW)
        assert row.outcome["reached_cut"] is (name == "able")
        assert row.confidence > 0.6
    guesser = Guesser("guesser", 0.0)
    assert sit(walk(sqlite_work, bank, guesser), METHOD, NOW).outcome["reached_cut"] is False


def test_who_holds_a_dangerous_belief_answers_by_it(sqlite_work, bank):
    item = next(
        item
        for item in (generate(bank, f"offer_verdict.{METHOD}", seed) for seed in range(50))
        if item.critical and set(item.misconceptions.values()) - set(item.too_careful)
    )
    belief = next(b for b in item.misconceptions.values() if b not in item.too_careful)
    holder = Learner("holder", 3.0, beliefs=frozenset({belief}))
    free = Learner("free", 3.0)
    assert holder.chance(item, NOW) < free.chance(item, NOW) / 2
    sent = [walk(sqlite_work, bank, holder).sent(item, NOW) for _ in range(3)]
    wrong = [one["choice"][0] for one, right in sent if not right]
    assert all(item.misconceptions[choice] == belief for choice in wrong)


@pytest.mark.parametrize("plan", [helped, at_random])
def test_practice_teaches_who_can_learn(sqlite_work, bank, plan):
    learner = KnowsOrNot("learns", 0.0)
    learner.LEARNT = 0.9  # by chance alone, nothing would be learnt once in ten billion times
    mine = walk(sqlite_work, bank, learner)
    for number in range(40):
        practise_once(mine, METHOD, NOW + timedelta(minutes=3 * number), plan)
    before = KnowsOrNot("learns", 0.0)
    assert sum(learner.known.values()) > sum(before.knows(family) for family in learner.known)


def test_memory_fades_and_comes_back(bank):
    learner, item = Fading("fades", -9.0), generate(bank, f"overdue.{METHOD}", 1)
    family = item.heading.family
    assert learner.recall(family, NOW) == 0
    learner.learn(item, False, NOW)
    soon, later = (learner.recall(family, NOW + timedelta(days=days)) for days in (0.01, 60))
    assert soon > 0.8 > later
    learner.learn(item, True, NOW + timedelta(days=60))
    assert learner.recall(family, NOW + timedelta(days=61)) > later


def test_every_model_of_learning_gives_probabilities(bank):
    item = generate(bank, f"overdue.{METHOD}", 1)
    for kind in LEARNING.values():
        learner = kind("anybody", 0.0)
        assert 0 <= learner.chance(item, NOW) <= 1


def test_families_are_not_all_as_hard_as_they_look(bank):
    items = [generate(bank, f"{model}.{METHOD}", 1) for model in ("overdue", "offer_verdict")]
    harder = [Truth().of(item).b - Truth(spread=0.0).of(item).b for item in items]
    assert harder[0] != harder[1]


def test_measures_count_what_they_say():
    sat = [Sat(0.5, True, True, 0.9), Sat(0.5, True, False, 0.9), Sat(-0.5, True, True, 0.6)]
    above, below = rates(sat, (0.5, -0.5))
    assert (above.people, above.reached, above.passed) == (2, 1.0, 0.5)
    assert above.lost_to_critical == 0.5
    assert below.reached == 1.0
    stated = reliability(sat)
    assert [(one.decisions, one.true) for one in stated] == [(1, 0.0), (2, 1.0)]
    assert worst_gap(stated, least=1) == pytest.approx(0.6)
