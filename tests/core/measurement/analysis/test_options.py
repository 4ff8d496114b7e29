"""Options of eight published items, row by row, and what is said against an option."""

import numpy as np
import pytest

from tests.support.references import agrees, by_name, complete, expected
from trainer.core.measurement.analysis.options import (
    OptionUse,
    bands,
    doubts,
    option_use,
    scored,
    use_beside,
)

ITEMS, CHOSEN = complete("choices_reasoning_letters")
ROWS = expected("choices_reasoning_letters")
KEYS = [int(row.value) for row in ROWS if row.quantity == "key"]
FOUND = option_use(CHOSEN.astype(int), KEYS, range(7), band_count=5)
FIELDS = {
    "count": "count",
    "proportion": "share",
    "mean_total": "mean_total",
    "point_biserial_total": "r_total",
    "point_biserial_rest": "r_rest",
}


@pytest.mark.parametrize("row", ROWS, ids=by_name)
def test_every_expected_value(row):
    if row.quantity == "n":
        agrees(len(CHOSEN), row)
    elif row.quantity == "key":
        place = ITEMS.index(row.key)
        assert [one.is_key for one in FOUND[place]].index(True) == row.value
    else:
        item, option = row.key.rsplit("=", 1)
        one = FOUND[ITEMS.index(item)][int(option)]
        agrees(getattr(one, FIELDS[row.quantity]), row)


def test_bands_share_the_people_out_and_the_key_rises_through_them():
    for uses in FOUND:
        key = next(one for one in uses if one.is_key)
        assert list(key.by_band) == sorted(key.by_band)
        assert np.array([one.by_band for one in uses]).sum(axis=0) == pytest.approx(np.ones(5))


def test_a_band_holds_whoever_has_that_total():
    total = np.array([0.0, 1, 1, 2, 3, 4])
    assert bands(total, 3).tolist() == [0, 0, 0, 1, 2, 2]
    assert bands(total, 1).tolist() == [0] * 6


def use(option, is_key, share, r_rest):
    return OptionUse(option, is_key, 1, share, 1.0, r_rest, r_rest, ())


def test_what_speaks_against_an_option():
    uses = [use(1, True, 0.5, -0.1), use(2, False, 0.04, -0.2), use(3, False, 0.2, 0.1)]
    assert doubts(uses) == {
        1: "the able choose it less often than the others",
        2: "hardly anybody chooses it",
        3: "the able choose it more often than the others",
    }
    assert doubts([use(1, True, 0.5, 0.3), use(2, False, 0.3, -0.3)]) == {}


def test_shapes_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="keys"):
        scored(np.zeros((3, 2), dtype=int), [1])
    with pytest.raises(ValueError, match="count"):
        bands(np.zeros(3), 0)


def test_beside_an_ability_from_elsewhere_it_is_the_same_reckoning():
    marks = scored(CHOSEN.astype(int), KEYS)
    chose = (CHOSEN[:, [0]] == np.arange(7)).astype(float)
    for found, other in zip(
        use_beside(chose, KEYS[0], marks.sum(axis=1), 5), FOUND[0], strict=True
    ):
        assert (found.count, found.share) == (other.count, other.share)
        assert found.r_total == pytest.approx(other.r_total, nan_ok=True)
        assert found.by_band == pytest.approx(other.by_band)
    with pytest.raises(ValueError, match="key"):
        use_beside(chose, 7, marks.sum(axis=1))
