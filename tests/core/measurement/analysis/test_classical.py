"""Difficulty, discrimination and reliability against values of other programs, row by row."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from tests.support.chance import many
from tests.support.references import agrees, by_name, complete, expected
from trainer.core.measurement.analysis.classical import p_values, point_biserials
from trainer.core.measurement.analysis.reliability import (
    alpha_se,
    lengthened,
    normal_alpha_se,
    reliability,
)

SETS = ("lsat6", "ability16", "verbal24")
ROWS = [(name, row) for name in SETS for row in expected(f"{name}_classical")]
tables = arrays(
    float, st.tuples(st.integers(4, 30), st.integers(3, 8)), elements=st.sampled_from([0.0, 1.0])
)


def found_in(name):
    items, values = complete(name)
    if items[0] == "group":
        items, values = items[1:], values[:, 1:]
    whole = reliability(values)
    with_item, rest = point_biserials(values)
    by_item = {
        "p_value": p_values(values),
        "point_biserial": with_item,
        "point_biserial_rest": rest,
        "alpha_if_dropped": whole.if_dropped,
    }
    return items, whole, by_item


FOUND = {name: found_in(name) for name in SETS}


@pytest.mark.parametrize(("name", "row"), ROWS, ids=[f"{n} {by_name(row)}" for n, row in ROWS])
def test_every_expected_value(name, row):
    items, whole, by_item = FOUND[name]
    one = {
        "n": whole.people,
        "mean_total": whole.mean,
        "sd_total": whole.sd,
        "alpha": whole.alpha,
        "kr20": whole.kr20,
        "kr21": whole.kr21,
        "sem": whole.sem,
        "std_alpha": whole.standardised,
        "alpha_ci95": whole.interval[row.key == "upper"],
    }
    found = (
        by_item[row.quantity][items.index(row.key)]
        if row.quantity in by_item
        else one[row.quantity]
    )
    agrees(found, row)


def test_the_error_of_alpha_is_what_resampling_finds():
    """1,000 draws with replacement from the 1,000 people of LSAT-6 (seed 6)."""
    _, values = complete("lsat6")
    chance = many(6)
    draws = [
        reliability(values[chance.integers(0, len(values), len(values))]).alpha for _ in range(1000)
    ]
    assert FOUND["lsat6"][1].alpha_se == pytest.approx(np.std(draws), rel=0.1)


def test_for_normal_marks_both_errors_of_alpha_agree():
    chance = many(8)
    marks = chance.normal(size=(20_000, 1)) + chance.normal(size=(20_000, 6)) * np.arange(1, 7) / 3
    normal = normal_alpha_se(np.cov(marks, rowvar=False), len(marks))
    assert alpha_se(marks) == pytest.approx(normal, rel=0.03)


def test_the_error_of_alpha_for_parallel_items():
    """With k parallel items the formula comes to (1 - alpha) sqrt(2 k / ((k - 1) n)): van Zyl,
    Neudecker & Nel 2000 (from memory)."""
    k, n = 6, 200
    covariance = np.full((k, k), 0.3) + 0.7 * np.eye(k)
    alpha = k / (k - 1) * (1 - k / covariance.sum())
    wanted = (1 - alpha) * np.sqrt(2 * k / ((k - 1) * n))
    assert normal_alpha_se(covariance, n) == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize(
    ("now", "times", "then"),
    [(0.60, 2, 0.75), (0.50, 3, 0.75), (0.80, 0.5, 2 / 3), (0.70, 1, 0.70)],
)
def test_spearman_brown(now, times, then):
    """Worked examples as textbooks give them: .60 doubled is .75 (from memory)."""
    assert lengthened(now, times) == pytest.approx(then)


def test_spearman_brown_is_alpha_of_parallel_items():
    pair = np.full((2, 2), 0.4) + 0.6 * np.eye(2)
    six = np.full((6, 6), 0.4) + 0.6 * np.eye(6)
    alpha = [k / (k - 1) * (1 - k / c.sum()) for k, c in ((2, pair), (6, six))]
    assert lengthened(alpha[0], 3) == pytest.approx(alpha[1])


@given(tables)
def test_what_holds_of_any_table(marks):
    total = marks.sum(axis=1)
    assume(total.std() > 0)
    whole = reliability(marks)
    assert whole.alpha <= 1 + 1e-12
    assert whole.kr20 == pytest.approx(whole.alpha)
    assert whole.kr21 <= whole.kr20 + 1e-9
    again = reliability(1 - marks)
    assert again.alpha == pytest.approx(whole.alpha)
    assert again.sem == pytest.approx(whole.sem)
    with_item, rest = point_biserials(marks)
    both = ~np.isnan(with_item) & ~np.isnan(rest)
    assert (with_item[both] >= rest[both] - 1e-9).all()
    for item, without in enumerate(whole.if_dropped):
        others = np.delete(marks, item, axis=1)
        if not np.isnan(without):
            assert without == pytest.approx(reliability(others).alpha)


@pytest.mark.parametrize(
    "marks", [np.zeros((1, 5)), np.zeros((5, 1)), np.zeros(5), np.array([[1.0, np.nan], [0, 1]])]
)
def test_tables_that_say_nothing_are_refused(marks):
    with pytest.raises(ValueError, match="shape|complete"):
        reliability(marks)


def test_where_nobody_differs_there_is_no_reliability():
    whole = reliability(np.ones((5, 4)))
    assert np.isnan(whole.alpha) and np.isnan(whole.kr20)
    assert np.isnan(point_biserials(np.ones((5, 4)))[0]).all()


def test_items_that_cancel_each_other_out_have_no_standardised_alpha():
    assert np.isnan(reliability(np.array([[1.0, 0, 1], [0, 1, 1], [1, 0, 1]])).standardised)


@pytest.mark.parametrize(("now", "times"), [(0.5, 0), (0.5, -1), (1.0, 2)])
def test_a_test_of_no_length_is_refused(now, times):
    with pytest.raises(ValueError, match="times"):
        lengthened(now, times)
