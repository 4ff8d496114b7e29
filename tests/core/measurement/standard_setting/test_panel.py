"""A panel's rounds against a worked example, and what a cut becomes on other forms."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from tests.support.references import agrees, by_name, expected, rows_of
from trainer.core.measurement.response_model import expected_score
from trainer.core.measurement.standard_setting.equating import (
    ability_cut,
    raw_cut,
)
from trainer.core.measurement.standard_setting.impact import impact
from trainer.core.measurement.standard_setting.judges import judges, most_apart
from trainer.core.measurement.standard_setting.ratings import read_round

ROWS = rows_of("angoff_panel_a")
JUDGES, ITEMS = (list(dict.fromkeys(row[name] for row in ROWS)) for name in ("judge", "item"))
panels = arrays(float, st.tuples(st.integers(2, 7), st.integers(3, 12)), elements=st.floats(0, 1))


def ratings(number):
    out = np.full((len(JUDGES), len(ITEMS)), np.nan)
    for row in ROWS:
        if row["round"] == number:
            out[JUDGES.index(row["judge"]), ITEMS.index(row["item"])] = float(row["rating"])
    return out


ROUNDS = {number: read_round(ratings(number)) for number in "12"}
FIELDS = {
    "panel_cut": "cut",
    "median_cut": "median",
    "sd_judges": "sd",
    "se_cut": "se",
    "var_judge": "var_judge",
    "var_item": "var_item",
    "var_residual": "var_residual",
    "icc_a1": "one_judge",
    "icc_ak": "panel",
}


@pytest.mark.parametrize("row", expected("angoff_panel_a"), ids=by_name)
def test_every_expected_value(row):
    head, _, what = row.quantity.partition("_")
    found = ROUNDS[head.removeprefix("round")]
    if what == "judge_cut":
        agrees(found.judge_cuts[JUDGES.index(row.key)], row)
    elif what == "item_mean":
        agrees(found.item_means[ITEMS.index(row.key)], row)
    elif what == "panel_cut_percent":
        agrees(100 * found.share, row)
    else:
        agrees(getattr(found, FIELDS[what]), row)


def test_two_judges_worked_by_hand():
    """Cuts 1.0 and 2.0 of 3 items: mean 1.5, sd .7071, standard error .5."""
    found = read_round(np.array([[0.2, 0.3, 0.5], [0.6, 0.6, 0.8]]))
    assert found.judge_cuts == pytest.approx([1.0, 2.0])
    assert (found.cut, found.share) == pytest.approx((1.5, 0.5))
    assert (found.sd, found.se, found.share_se) == pytest.approx((0.70711, 0.5, 1 / 6), abs=1e-5)


@given(panels)
def test_what_holds_of_any_panel(given_ratings):
    found = read_round(given_ratings)
    assert found.cut == pytest.approx(found.item_means.sum())
    assert min(found.var_judge, found.var_item, found.var_residual) >= 0
    seen = judges(given_ratings)
    assert sum(one.severity for one in seen) == pytest.approx(0, abs=1e-9)
    strictest = max(range(len(seen)), key=lambda n: seen[n].severity)
    assert found.judge_cuts[strictest] == pytest.approx(found.judge_cuts.max())


def test_a_strict_judge_and_a_careless_one_show():
    hard = np.linspace(0.2, 0.9, 10)
    panel = np.array([hard, hard + 0.08, np.clip(hard + 0.02, 0, 1), hard[::-1]])
    strict, careless = judges(panel, hard)[1], judges(panel, hard)[3]
    assert strict.severity > 0.05 and strict.with_panel > 0.9
    assert strict.with_difficulty == pytest.approx(1)
    assert careless.with_panel < -0.9 and careless.apart > 0.2
    assert np.isnan(judges(panel)[0].with_difficulty)


def test_where_the_judges_are_least_at_one():
    panel = np.array([[0.5, 0.2, 0.9], [0.5, 0.8, 0.7]])
    assert most_apart(panel, 5) == [1, 2]


@pytest.mark.parametrize(
    "bad",
    [np.ones((1, 5)), np.ones(5), np.array([[0.5, 1.1], [0.5, 0.5]]), np.full((2, 2), np.nan)],
)
def test_no_panel_is_refused(bad):
    with pytest.raises(ValueError, match="judges|rating"):
        read_round(bad)
    with pytest.raises(ValueError, match="judges"):
        judges(np.ones((1, 5)))


slopes = st.lists(st.floats(0.4, 2.5), min_size=5, max_size=40)


@given(slopes, st.floats(-1.5, 1.5), st.floats(0, 0.3), st.floats(0.5, 0.9))
def test_the_cut_comes_back_on_its_own_items(a, shift, guess, share):
    slope = np.array(a)
    b, floor = np.linspace(-1, 1, len(a)) + shift, np.full(len(a), guess)
    cut = share * len(a)
    found = ability_cut(cut, 0.4, slope, b, floor)
    assert expected_score(found.ability, slope, b, floor) == pytest.approx(cut)
    needed = raw_cut(found.ability, slope, b, floor)
    assert needed == 1 or cut - 1 - 1e-5 < needed <= cut + 1e-5
    step = 1e-5
    rise = expected_score(found.ability + step, slope, b, floor) - cut
    assert found.se == pytest.approx(0.4 * step / rise, rel=1e-3)


@given(slopes, st.floats(-1.5, 1.5))
def test_a_whole_cut_stays_the_number_it_is(a, shift):
    """Where an ability is found a hair too low, no question is lost by it."""
    slope, none = np.array(a), np.zeros(len(a))
    b, cut = np.linspace(-1, 1, len(a)) + shift, len(a) // 2
    found = ability_cut(cut, 0.4, slope, b, none)
    assert raw_cut(found.ability, slope, b, none) == cut


@given(st.floats(-1, 2), st.floats(0.1, 1.5))
def test_a_harder_form_needs_fewer(ability, harder):
    a, b, none = np.ones(40), np.linspace(-2, 2, 40), np.zeros(40)
    easy, hard = raw_cut(ability, a, b, none), raw_cut(ability, a, b + harder, none)
    assert 1 <= hard <= easy <= 40
    assert raw_cut(ability, a, b, none) == raw_cut(ability, a[::-1], b[::-1], none)


def test_a_cut_that_guessing_reaches_is_refused():
    a, b, floor = np.ones(10), np.zeros(10), np.full(10, 0.25)
    for cut in (2.5, 10.0, 9.99):
        with pytest.raises(ValueError, match="share|ability"):
            ability_cut(cut, 0.1, a, b, floor)


def test_who_would_have_passed():
    scores = np.array([20.0, 28, 30, 35])
    needed = np.array([[25, 30]] * 3 + [[30, 36]])
    steps = impact(scores, needed, [0.6, 0.75])
    assert [(one.cut, one.passing, one.share) for one in steps] == [(0.6, 3, 0.75), (0.75, 1, 0.25)]
    assert impact(np.zeros(0), np.zeros((0, 1)), [0.5])[0].share == 0
    with pytest.raises(ValueError, match="shape"):
        impact(scores, needed[:2], [0.6, 0.75])


@given(arrays(float, st.integers(1, 40), elements=st.integers(0, 40).map(float)))
def test_a_higher_cut_never_passes_more(scores):
    cuts = [0.1 * n for n in range(1, 11)]
    needed = np.tile(40 * np.array(cuts), (len(scores), 1))
    assume(len(scores))
    found = [one.passing for one in impact(scores, needed, cuts)]
    assert found == sorted(found, reverse=True)
