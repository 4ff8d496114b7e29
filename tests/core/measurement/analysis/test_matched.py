"""Two groups compared over sparse answers: published items, a library, and planted differences."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.contingency_tables import StratifiedTable

from tests.core.measurement.analysis.test_differences import FOCAL, ITEMS, MARKS, PLAIN
from tests.support.chance import many
from tests.support.references import agrees, by_name, expected
from trainer.core.measurement.analysis.matched import (
    LEAST_PEOPLE,
    Given,
    Matched,
    in_strata,
    matched_differences,
)

NAMES = {
    "mh_odds_ratio": "odds_ratio",
    "mh_delta": "delta",
    "mh_chisq_corrected": "chi2",
    "mh_chisq_uncorrected": "chi2_plain",
    "mh_p_corrected": "p_value",
    "mh_se_log_odds": "se_log_odds",
}
SHARED = ("odds_ratio", "se_log_odds", "chi2", "chi2_plain")
PEOPLE, FAMILIES, EACH, SHARE = 2000, 40, 16, 0.4
IMPACT, SIZE, FLOOR = 0.7, 1.3, 0.2
PLANTED = {0: SIZE, 1: -SIZE, 2: SIZE, 3: -SIZE}
"""Family -> how much harder it is for the focal group [logits]; all others are the same."""
RUNS = 5


def complete(marks=MARKS):
    """Answers of people who answered everything, all questions alike."""
    people, families = marks.shape
    person, family = np.indices(marks.shape).reshape(2, -1)
    one = np.ones(people * families)
    return Given(person, family, marks.ravel() == 1, one, 0 * one, 0 * one)


def by_score(marks=MARKS, focal=FOCAL):
    answers = complete(marks)
    total = marks.sum(axis=1).astype(int)
    return in_strata(answers, focal, total[answers.person], np.ones(len(answers.person), bool))


@pytest.mark.parametrize(
    "row", [r for r in expected("verbal24_dif") if r.quantity in NAMES], ids=by_name
)
def test_with_the_score_as_band_it_finds_the_published_items_values(row):
    found = by_score().difference
    agrees(getattr(found, NAMES[row.quantity])[ITEMS.index(row.key)], row)


@pytest.mark.parametrize("name", SHARED)
def test_with_the_score_as_band_it_is_the_statistic_of_complete_tables(name):
    assert getattr(by_score().difference, name) == pytest.approx(getattr(PLAIN, name))


def test_on_complete_tables_matching_on_ability_tells_the_same_story():
    """Other strata, the same 24 items: Zwick, Thayer & Wingersky 1994 found the two go together."""
    found = matched_differences(complete(), FOCAL, rounds=1).difference
    assert np.corrcoef(found.delta, PLAIN.delta)[0, 1] > 0.98
    assert np.abs(found.delta - PLAIN.delta).mean() < found.se_delta.mean() / 3
    ends = zip(found.classes(), PLAIN.classes(), strict=True)
    assert not any({one, other} == {"A", "C"} for one, other in ends)


@settings(max_examples=25)
@given(st.integers(0, 10**6), st.integers(60, 200), st.integers(2, 5))
def test_a_library_finds_the_same_in_any_strata(seed, people, bands):
    chance = many(seed)
    answers, focal = _drawn(chance, people, 8, 4, 0.4)
    stratum = chance.integers(0, bands, len(answers.person))
    counts = chance.random(len(answers.person)) < 0.9
    found = in_strata(answers, focal, stratum, counts)
    for family in range(8):
        here = (answers.family == family) & counts
        tables = [
            [
                [(here & (stratum == s) & (answers.right == m) & (of == g)).sum() for m in (1, 0)]
                for g in (False, True)
            ]
            for s in range(bands)
            for of in [focal[answers.person]]
        ]
        both = [np.array(t, float) for t in tables if np.sum(t, axis=1).min() > 0]
        assert found.people[family].sum() == sum(t.sum() for t in both)
        if not both:
            continue
        table = StratifiedTable(both)
        with np.errstate(all="ignore"):
            odds, error = table.oddsratio_pooled, table.logodds_pooled_se
        if np.isfinite(odds) and odds > 0:
            assert found.difference.odds_ratio[family] == pytest.approx(odds)
            assert found.difference.se_log_odds[family] == pytest.approx(error)


def _drawn(chance, people, families, each, share, impact=0.0, planted=None, misjudged=0.0):
    """Sparse answers; the focal group is less able by `impact`. Difficulties as used are off by
    `misjudged`, slopes are taken to be 1."""
    focal = chance.random(people) < share
    focal[:2] = True, False
    theta = chance.normal(size=people) - impact * focal
    a, b = np.exp(0.2 * chance.normal(size=families)), chance.normal(size=families)
    person = np.repeat(np.arange(people), each)
    family = np.concatenate([chance.permutation(families)[:each] for _ in range(people)])
    b[list(planted or {})] = 0.0  # where there is most to see
    harder = np.array([(planted or {}).get(one, 0.0) for one in range(families)])
    at = a[family] * (theta[person] - b[family] - harder[family] * focal[person])
    right = chance.random(len(person)) < FLOOR + (1 - FLOOR) / (1 + np.exp(-at))
    used = b + misjudged * chance.normal(size=families)
    one = np.ones(len(person))
    return Given(person, family, right, one, used[family], FLOOR * one), focal


@cache
def runs(planted=True):
    chance = many(11)
    return [
        matched_differences(
            *_drawn(chance, PEOPLE, FAMILIES, EACH, SHARE, IMPACT, PLANTED if planted else {}, 0.3)
        )
        for _ in range(RUNS)
    ]


def test_planted_differences_are_found_in_both_directions():
    classes = np.array([found.classes() for found in runs()])
    delta = np.array([found.difference.delta for found in runs()])
    for family, size in PLANTED.items():
        assert (np.sign(delta[:, family]) == -np.sign(size)).all()
    there = classes[:, list(PLANTED)]
    assert (there == "C").mean() > 0.6
    assert np.isin(there, ("B", "C")).mean() > 0.95


@pytest.mark.parametrize("planted", [True, False])
def test_others_are_left_alone_though_one_group_is_less_able(planted):
    first = len(PLANTED) if planted else 0
    classes = np.array([found.classes() for found in runs(planted)])[:, first:]
    delta = np.array([found.difference.delta for found in runs(planted)])[:, first:]
    error = np.array([found.difference.se_delta for found in runs(planted)])[:, first:]
    assert (classes == "C").mean() < 0.01
    assert np.isin(classes, ("B", "C")).mean() < 0.06
    assert abs(delta.mean()) < 0.1
    assert delta.std() == pytest.approx(error.mean(), rel=0.15)


def test_flagged_families_stop_spoiling_the_others():
    """A fifth of the families harder for one group, all the same way: others must not seem easy."""
    planted = dict.fromkeys(range(8), 1.5)
    answers, focal = _drawn(many(5), 3000, FAMILIES, EACH, 0.5, 0.0, planted)
    pure = matched_differences(answers, focal).difference.delta[8:]
    raw = matched_differences(answers, focal, rounds=1).difference.delta[8:]
    assert pure.mean() < raw.mean() - 0.1
    assert abs(pure.mean()) < 0.25


def test_too_few_of_a_group_say_nothing():
    answers, focal = _drawn(many(2), 400, 20, 10, 0.05)
    found = matched_differences(answers, focal)
    assert found.people.min() < LEAST_PEOPLE
    assert set(found.classes()) == {""}


def test_no_difference_found_with_few_people_is_no_proof_of_none():
    answers, focal = _drawn(many(3), 150, 20, 10, 0.5)
    found = matched_differences(answers, focal)
    assert found.said.all()
    assert "A" not in found.classes() and found.difference.classes().count("A") > 10


def test_shares_right_differ_as_the_statistic_does():
    for found in runs():
        apart = found.right[:, 1] - found.right[:, 0]
        assert (np.sign(apart) == np.sign(found.difference.delta)).mean() > 0.95
        assert ((found.right > 0) & (found.right < 1)).all()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda one: one | {"family": np.zeros(len(one["family"]), int)}, "comes twice"),
        (lambda one: one | {"right": one["right"][1:]}, "len"),
        (lambda one: {name: value[:0] for name, value in one.items()}, "len"),
        (lambda one: one | {"a": -one["a"]}, "a=-1"),
    ],
)
def test_answers_that_do_not_fit_are_refused(change, words):
    answers, focal = _drawn(many(1), 40, 8, 4, 0.5)
    wrong = Given(**change({name: getattr(answers, name) for name in Given.__slots__}))
    with pytest.raises(ValueError, match=words):
        matched_differences(wrong, focal)


def test_steep_families_that_hardly_anybody_misses_do_not_spoil_the_rest():
    """Their chance of a right answer rounds to 1 at the top of the grid; somebody still misses."""
    answers, focal = _drawn(many(4), 400, 20, 12, 0.5)
    steep = (
        np.where(answers.family < 3, 9.0, answers.a),
        np.where(answers.family < 3, -3, answers.b),
    )
    found = matched_differences(replace(answers, a=steep[0], b=steep[1]), focal)
    assert np.isfinite(found.difference.delta).all() and found.said.all()


def test_two_groups_are_needed():
    answers, focal = _drawn(many(1), 40, 8, 4, 0.5)
    with pytest.raises(ValueError, match="two groups"):
        matched_differences(answers, np.ones_like(focal))
    assert isinstance(matched_differences(answers, focal), Matched)
