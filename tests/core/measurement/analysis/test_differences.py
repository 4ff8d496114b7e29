"""Mantel-Haenszel and logistic differences: 24 published items, row by row, and a library."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.contingency_tables import StratifiedTable

from tests.support.chance import many
from tests.support.references import agrees, by_name, complete, expected
from trainer.core.measurement.analysis.differences import Difference, differences, purified
from trainer.core.measurement.analysis.logistic import logistic_differences

COLUMNS, VALUES = complete("verbal24")
ITEMS, MARKS, FOCAL = COLUMNS[1:], VALUES[:, 1:], VALUES[:, 0] == 1
PLAIN, PURE = differences(MARKS, FOCAL), purified(MARKS, FOCAL)
LOGISTIC = logistic_differences(MARKS, FOCAL)
FOUND = {
    "mh_odds_ratio": PLAIN.odds_ratio,
    "mh_delta": PLAIN.delta,
    "mh_chisq_corrected": PLAIN.chi2,
    "mh_chisq_uncorrected": PLAIN.chi2_plain,
    "mh_p_corrected": PLAIN.p_value,
    "mh_se_log_odds": PLAIN.se_log_odds,
    "purified_mh_odds_ratio": PURE.odds_ratio,
    "purified_mh_chisq_corrected": PURE.chi2,
    "purified_flagged_at_0.05": PURE.flagged.astype(float),
    "lr_uniform_chisq_1df": LOGISTIC.uniform,
    "lr_both_chisq_2df": LOGISTIC.both,
}


@pytest.mark.parametrize("row", expected("verbal24_dif"), ids=by_name)
def test_every_expected_value(row):
    agrees(FOUND[row.quantity][ITEMS.index(row.key)], row)


@given(st.integers(0, 10**6), st.integers(30, 120), st.integers(3, 7))
def test_statsmodels_finds_the_same_on_any_table(seed, people, items):
    chance = many(seed)
    ability = chance.normal(size=(people, 1))
    marks = (chance.random((people, items)) < 1 / (1 + np.exp(-ability))).astype(float)
    focal = chance.random(people) < 0.4
    if focal.all() or not focal.any():
        return
    found, total = differences(marks, focal), marks.sum(axis=1)
    for item in range(items):
        strata = [
            [
                [((marks[:, item] == m) & (focal == g) & (total == t)).sum() for m in (1, 0)]
                for g in (False, True)
            ]
            for t in np.unique(total)
        ]
        whole = [s for s in strata if np.sum(s) > 1]
        table = StratifiedTable([np.array(s, dtype=float) for s in whole])
        with np.errstate(all="ignore"):
            odds, error = table.oddsratio_pooled, table.logodds_pooled_se
            chi2 = table.test_null_odds(correction=False).statistic
        if np.isfinite(odds) and odds > 0:
            assert found.odds_ratio[item] == pytest.approx(odds)
            assert found.se_log_odds[item] == pytest.approx(error)
        if np.isfinite(chi2):
            assert found.chi2_plain[item] == pytest.approx(chi2)


def test_groups_changed_over_turn_the_odds_round():
    other = differences(MARKS, ~FOCAL)
    assert other.odds_ratio == pytest.approx(1 / PLAIN.odds_ratio)
    assert other.delta == pytest.approx(-PLAIN.delta)
    assert other.chi2 == pytest.approx(PLAIN.chi2)


def test_classes_as_ets_draws_them():
    """Zieky 1993: negligible, moderate, large. A delta of 1.5 that is not surely above 1 is B."""
    delta = np.array([0.5, -0.9, -1.2, 1.5, -2.5, 2.5, 1.6])
    error = np.array([0.1, 0.3, 0.2, 0.5, 0.3, 3.0, 0.1]) / 2.35
    odds, chi2 = np.exp(delta / -2.35), np.array([20.0, 9, 9, 9, 30, 0.7, 50])
    found = Difference(odds, error, chi2, chi2)
    assert found.classes() == ["A", "A", "B", "B", "C", "A", "C"]
    unknown = np.array([np.nan])
    assert Difference(unknown, unknown, chi2[:1], chi2[:1]).classes() == [""]


def test_the_classes_of_published_items_are_stable():
    assert dict(zip(ITEMS, PLAIN.classes(), strict=True))["S2WantShout"] == "C"


@pytest.mark.parametrize("only", [FOCAL, ~FOCAL])
def test_an_item_that_only_one_group_gets_right_is_the_plainest_difference(only):
    """Its odds ratio has no end; with half a person added to each cell of a stratum it has one, as
    the library says of such tables too."""
    marks = np.column_stack([only.astype(float), MARKS])
    found, total = differences(marks, FOCAL), marks.sum(axis=1)
    tables = [
        [[(here & (marks[:, 0] == m)).sum() for m in (1, 0)] for here in (at & ~FOCAL, at & FOCAL)]
        for at in (total == one for one in np.unique(total))
    ]
    both = [np.array(one, float) for one in tables if np.sum(one, axis=1).min() > 0]
    assert found.classes()[0] == "C" and found.flagged[0]
    half = StratifiedTable([one + 0.5 for one in both])
    assert found.odds_ratio[0] == pytest.approx(half.oddsratio_pooled)
    assert found.se_log_odds[0] == pytest.approx(half.logodds_pooled_se)
    counted = StratifiedTable(both).test_null_odds(correction=True)
    assert found.chi2[0] == pytest.approx(counted.statistic)


def test_an_item_that_all_get_right_tells_nothing():
    found = differences(np.column_stack([np.ones(len(MARKS)), MARKS]), FOCAL)
    assert found.classes()[0] == "" and not found.flagged[0]


def test_marks_that_are_no_marks_are_refused():
    with pytest.raises(ValueError, match="neither 0 nor 1"):
        differences(MARKS + (MARKS == 1), FOCAL)


@pytest.mark.parametrize("focal", [np.zeros(316, bool), np.ones(316, bool), np.ones(3, bool)])
def test_a_group_without_people_is_refused(focal):
    with pytest.raises(ValueError, match="two groups"):
        differences(MARKS, focal)
