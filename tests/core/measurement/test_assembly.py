"""Parallel forms: every limit kept, the gap true, and what the pool cannot give named."""

from collections import Counter
from csv import DictReader
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.core.measurement.assembly import MATCHED, UNLIKE, assemble
from trainer.core.measurement.requirement import Candidate, Demands

LINES = (Path(__file__).parent / "references" / "assembly_pool.csv").read_text().splitlines()[1:]
ROWS = list(DictReader(LINES))
POOL = [
    Candidate(
        row["item"], row["content"], False, enemy_set=row["enemy"], seconds=float(row["seconds"])
    )
    for row in ROWS
]
INFORMATION = np.array([float(row["info_x10000"]) for row in ROWS])
WANTED = Demands({"A": 7, "B": 6, "C": 4, "D": 3}, seconds_most=1500)
ONE_FORM_MAX, TWO_FORM_MAXIMIN = 90663, 79123
"""The optimum for the pool: HiGHS (proven) and CP-SAT 9.15 agree."""


def faults(pool, information, demands, found):
    """Every limit that some form breaks, reckoned anew from the families' own fields."""
    by_id = {one.id: one for one in pool}
    worth = {one.id: float(value) for one, value in zip(pool, information, strict=True)}
    out = []
    for form in found.forms:
        ours = [by_id[name] for name in form.families]
        topics = Counter(one.topic for one in ours)
        out += [t for t, n in demands.topics.items() if topics[t] != n]
        out += [t for t in topics if t not in demands.topics]
        out += ["critical"] * (sum(one.critical for one in ours) < demands.critical_least)
        for field in ("service", "type"):
            held = Counter(getattr(one, field) for one in ours)
            limits = getattr(demands, f"{field}s").items()
            out += [name for name, (low, high) in limits if not low <= held[name] <= high]
        for field in ("seconds", "words"):
            most = getattr(demands, f"{field}_most")
            spent = sum(getattr(one, field) for one in ours)
            out += [field] * (most is not None and spent > most + 1e-6)
        names = set(form.families)
        out += [one.id for one in ours if names & set(one.enemies) - {one.id}]
        sets = Counter(one.enemy_set for one in ours if one.enemy_set)
        out += [name for name, count in sets.items() if count > 1]
        out += ["information"] * (
            abs(sum(worth[n] for n in form.families) - form.information) > 1e-6
        )
    used = [name for form in found.forms for name in form.families]
    out += ["twice"] * (len(used) != len(set(used)))
    return out


def test_the_most_informative_form_of_the_pool():
    found = assemble(POOL, INFORMATION, WANTED, 1, gap=0)
    assert found.forms[0].information == ONE_FORM_MAX
    assert (found.bound, found.gap) == (ONE_FORM_MAX, 0)
    assert faults(POOL, INFORMATION, WANTED, found) == []


def test_two_forms_whose_smaller_information_is_the_largest_possible():
    found = assemble(POOL, INFORMATION, WANTED, 2, gap=0)
    assert min(form.information for form in found.forms) == TWO_FORM_MAXIMIN
    assert (found.bound, found.gap) == (TWO_FORM_MAXIMIN, 0)
    assert faults(POOL, INFORMATION, WANTED, found) == []


@pytest.mark.parametrize("forms", [2, 3, 4])
def test_more_forms_are_matched_and_their_gap_is_small(forms):
    found = assemble(POOL, INFORMATION, WANTED, forms)
    information = [form.information for form in found.forms]
    assert len(information) == forms and found.gap <= 1e-3
    assert max(information) <= (1 + MATCHED) * min(information)
    assert faults(POOL, INFORMATION, WANTED, found) == []


candidates = st.builds(
    Candidate,
    id=st.integers(0, 25).map("f{}".format),
    topic=st.sampled_from("AB"),
    critical=st.booleans(),
    enemies=st.lists(st.integers(0, 25).map("f{}".format), max_size=1).map(tuple),
    service=st.sampled_from(("fit", "remove")),
    type=st.sampled_from(("number", "date")),
    enemy_set=st.sampled_from(("", "", "", "s", "t")),
    seconds=st.integers(10, 90).map(float),
    words=st.integers(5, 60).map(float),
)
asked = st.builds(
    Demands,
    topics=st.fixed_dictionaries({"A": st.integers(1, 3), "B": st.integers(0, 2)}),
    critical_least=st.integers(0, 2),
    services=st.dictionaries(st.just("fit"), st.sampled_from([(1.0, 9.0), (0.0, 2.0)])),
    types=st.dictionaries(st.just("date"), st.sampled_from([(1.0, 3.0), (0.0, 1.0)])),
    seconds_most=st.none() | st.integers(60, 300).map(float),
    words_most=st.none() | st.integers(60, 200).map(float),
)
pools = st.lists(candidates, min_size=4, max_size=9, unique_by=lambda one: one.id)


def by_trying_all(pool, information, demands):
    """The most information of one form, by trying every set of families; None: no form."""
    best = None
    for chosen in combinations(range(len(pool)), demands.items):
        form = type("Form", (), {})()
        form.families = [pool[one].id for one in chosen]
        form.information = float(information[list(chosen)].sum())
        found = type("Found", (), {"forms": [form]})
        if not faults(pool, information, demands, found):
            best = max(form.information, best or 0.0)
    return best


@settings(max_examples=60)
@given(pools, asked, st.randoms(use_true_random=False))
def test_one_form_is_the_best_of_all_that_could_be_tried(pool, demands, random):
    information = np.array([random.uniform(0.1, 1.0) for _ in pool])
    found = assemble(pool, information, demands, 1, gap=0)
    best = by_trying_all(pool, information, demands)
    if best is None:
        assert found.unmet and not found.forms
    else:
        assert found.forms[0].information == pytest.approx(best)
        assert faults(pool, information, demands, found) == []


@settings(max_examples=60)
@given(
    st.lists(candidates, min_size=8, max_size=24, unique_by=lambda one: one.id),
    asked,
    st.integers(2, 3),
    st.randoms(use_true_random=False),
)
def test_forms_keep_every_limit_or_something_is_named(pool, demands, forms, random):
    information = np.array([random.uniform(0.1, 1.0) for _ in pool])
    found = assemble(pool, information, demands, forms)
    assert bool(found.forms) is not bool(found.unmet)
    assert faults(pool, information, demands, found) == []
    if found.forms:
        least = min(form.information for form in found.forms)
        assert least <= found.bound + 1e-6
        assert found.gap == pytest.approx(max(0, (found.bound - least) / found.bound))


def short(count, topic="removal_safety"):
    return [Candidate(f"{topic}{n}", topic, False, seconds=60.0) for n in range(count)]


def unmet(pool, demands, forms=1):
    return assemble(pool, np.ones(len(pool)), demands, forms).unmet


def test_a_topic_with_too_few_is_named_with_what_is_there():
    pool = [*short(7), *short(9, "timings")]
    asked = Demands({"removal_safety": 10, "timings": 4})
    assert unmet(pool, asked) == ("removal safety: 10 wanted, 7 there",)
    asked = Demands({"removal_safety": 4, "timings": 4})
    assert unmet(pool, asked, 2) == ("removal safety: 8 wanted for 2 forms, 7 there",)


def test_enemies_count_once():
    pool = [replace(one, enemy_set="one") for one in short(5)]
    assert unmet(pool, Demands({"removal_safety": 2})) == ("removal safety: 2 wanted, 1 there",)


def test_what_fails_only_together_is_named_together():
    found = unmet(short(9), Demands({"removal_safety": 6}, seconds_most=300))
    assert found == (
        "removal safety: 6 wanted, 5 with the rest",
        "time: at most 300 seconds allowed, at least 360 seconds with the rest",
    )


def test_families_used_too_often_lately_are_left_out():
    pool = [replace(one, lately=0.1 * n) for n, one in enumerate(short(9))]
    found = assemble(pool, np.ones(9), Demands({"removal_safety": 4}, lately_most=0.35))
    assert set(found.forms[0].families) == {f"removal_safety{n}" for n in range(4)}
    assert "used often lately" in " ".join(
        unmet(pool, Demands({"removal_safety": 5}, lately_most=0.35))
    )


def test_forms_that_cannot_be_alike_say_so():
    """One family tells a hundred times what any other tells: only one form can have it."""
    information = np.append(np.ones(5), 100.0)
    found = assemble(short(6), information, Demands({"removal_safety": 3}), 2)
    assert found.forms == () and found.unmet == (UNLIKE,)


@pytest.mark.parametrize("worth", [0.0, -1.0, np.nan])
def test_information_that_is_none_is_refused(worth):
    with pytest.raises(ValueError, match="min"):
        assemble(short(6), np.full(6, worth), Demands({"removal_safety": 3}))


def test_no_pool_is_too_few_and_no_items_are_no_form():
    asked = Demands({"removal_safety": 3})
    assert assemble([], np.ones(0), asked).unmet == ("removal safety: 3 wanted, 0 there",)
    with pytest.raises(ValueError, match="items=0"):
        assemble(short(6), np.ones(6), Demands({}))


def test_shapes_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="information"):
        assemble(POOL, INFORMATION[:3], WANTED)
    with pytest.raises(ValueError, match="forms=0"):
        assemble(POOL, INFORMATION, WANTED, 0)
