"""Agreement of judges against published tables, other programs and two libraries."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa

from tests.support.chance import many
from tests.support.references import agrees, by_name, expected, matrix
from trainer.core.measurement.standard_setting.agreement import cross_table, intraclass, kappa

TABLES = {name: matrix(name)[1] for name in ("neuro_winnipeg", "neuro_neworleans")}
ICC = intraclass(matrix("judges6x4")[1])
NAMES = {
    "ICC(1,1)": "one_way_1",
    "ICC(A,1)": "absolute_1",
    "ICC(C,1)": "consistent_1",
    "ICC(1,k)": "one_way_k",
    "ICC(A,k)": "absolute_k",
    "ICC(C,k)": "consistent_k",
}
counts = (
    st.integers(2, 5)
    .flatmap(lambda k: arrays(int, (k, k), elements=st.integers(0, 30)))
    .map(lambda table: table.astype(float))
)


@pytest.mark.parametrize("row", expected("agreement"), ids=by_name)
def test_every_expected_value(row):
    if row.quantity == "icc_judges6x4":
        agrees(getattr(ICC, NAMES[row.key]), row)
        return
    what, _, weights = row.quantity.partition("_")
    field = "se_null" if row.quantity == "se_null" else {"kappa": "value", "se": "se"}[what]
    plain = weights in ("", "null")
    agrees(getattr(kappa(TABLES[row.key], "plain" if plain else weights), field), row)


@pytest.mark.parametrize(
    ("name", "published"),
    [
        ("ICC(1,1)", 0.17),
        ("ICC(A,1)", 0.29),
        ("ICC(C,1)", 0.71),
        ("ICC(1,k)", 0.44),
        ("ICC(A,k)", 0.62),
        ("ICC(C,k)", 0.91),
    ],
)
def test_the_published_table(name, published):
    """Shrout & Fleiss 1979, table 4."""
    assert round(getattr(ICC, NAMES[name]), 2) == published


@given(counts, st.sampled_from(["plain", "linear", "quadratic"]))
def test_two_libraries_find_the_same(table, weights):
    assume((table.sum(axis=1) > 0).sum() > 1 and (table.sum(axis=0) > 0).sum() > 1)
    found = kappa(table, weights)
    assume(not np.isnan(found.value))
    first, second = np.indices(table.shape).reshape(2, -1)
    times = table.astype(int).ravel()
    other = cohen_kappa_score(
        np.repeat(first, times),
        np.repeat(second, times),
        labels=range(len(table)),
        weights=None if weights == "plain" else weights,
    )
    assert found.value == pytest.approx(other, abs=1e-9)
    if weights == "plain" and found.se_null > 1e-9:
        theirs = cohens_kappa(table)
        assert found.se == pytest.approx(theirs.std_kappa, abs=1e-7)
        assert found.se_null == pytest.approx(theirs.std_kappa0, abs=1e-7)


def test_full_agreement_and_none():
    assert kappa(np.diag([5.0, 3, 2])).value == pytest.approx(1)
    assert kappa(np.ones((3, 3))).value == pytest.approx(0)
    assert np.isnan(kappa(np.array([[7.0, 0], [0, 0]])).value)


@given(arrays(float, st.tuples(st.integers(3, 10), st.integers(2, 6)), elements=st.floats(0, 1)))
def test_a_judge_s_level_counts_only_where_it_should(ratings):
    assume(ratings.std(axis=0).min() > 0.05)
    shift = np.zeros(ratings.shape[1])
    shift[0] = 5.0
    before, after = intraclass(ratings), intraclass(ratings + shift)
    assert after.consistent_1 == pytest.approx(before.consistent_1, abs=1e-6)
    same = intraclass(np.repeat(ratings[:, :1], 3, axis=1))
    assert same.absolute_1 == pytest.approx(1) and same.consistent_k == pytest.approx(1)


def test_the_error_of_kappa_is_what_resampling_finds():
    table = TABLES["neuro_winnipeg"]
    n = int(table.sum())
    draws = many(2).multinomial(n, table.ravel() / n, 4000).reshape(-1, 4, 4)
    found = np.std([kappa(draw.astype(float), "linear").value for draw in draws])
    assert kappa(table, "linear").se == pytest.approx(found, rel=0.06)


def test_ratings_are_put_into_classes():
    table = cross_table(np.array([0.2, 0.5, 0.9]), np.array([0.5, 0.4, 0.95]), np.array([0.5, 0.8]))
    assert table.tolist() == [[0, 1, 0], [1, 0, 0], [0, 0, 1]]


@pytest.mark.parametrize(
    "table",
    [np.ones((2, 3)), np.zeros((2, 2)), -np.ones((2, 2)), np.ones((1, 1)), np.full((2, 2), np.nan)],
)
def test_no_table_is_refused(table):
    with pytest.raises(ValueError, match="table"):
        kappa(table)


@pytest.mark.parametrize("rating", [0.1, 0.7, 1 / 3])
def test_where_everybody_says_the_same_of_everything_nothing_can_be_at_one(rating):
    """Sums of squares that rounding leaves would come out as an agreement of 0.9."""
    found = intraclass(np.full((4, 3), rating))
    assert np.isnan([found.absolute_1, found.absolute_k, found.consistent_k]).all()


@pytest.mark.parametrize(
    "ratings", [np.ones((1, 3)), np.ones((3, 1)), np.array([[1, np.nan], [1, 1]])]
)
def test_too_few_ratings_are_refused(ratings):
    with pytest.raises(ValueError, match="gaps"):
        intraclass(ratings)
