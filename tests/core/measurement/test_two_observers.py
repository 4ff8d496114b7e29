"""Cohen's kappa for two observers, against a worked example and a reference library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.metrics import cohen_kappa_score

from trainer.core.measurement.two_observers import agreement

COUNTS = st.integers(0, 60)


def test_the_textbook_example_of_two_readers_of_fifty_proposals():
    """20 both yes, 5 and 10 one yes, 15 both no: 0.7 seen, 0.5 by chance, kappa 0.4.

    The example that textbooks and encyclopaedias of statistics repeat; given here from memory.
    """
    found = agreement(20, 5, 10, 15)
    assert found.alike == pytest.approx(0.7)
    assert found.kappa == pytest.approx(0.4)
    assert found.words == "poorly"


@given(COUNTS, COUNTS, COUNTS, COUNTS)
def test_it_equals_the_reference_library(both, first, second, neither):
    found = agreement(both, first, second, neither)
    one = [1] * both + [1] * first + [0] * second + [0] * neither
    two = [1] * both + [0] * first + [1] * second + [0] * neither
    if found.kappa is None:
        assert len(set(one)) <= 1 and one == two
    else:
        assert found.kappa == pytest.approx(cohen_kappa_score(one, two), abs=1e-12)


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ((0, 0, 0, 0), "too_few"),
        ((10, 0, 0, 5), "too_few"),
        ((40, 0, 0, 0), "all_alike"),
        ((40, 2, 1, 20), "well"),
        ((30, 7, 8, 20), "somewhat"),
        ((30, 15, 12, 6), "poorly"),
    ],
)
def test_the_words_follow_the_bands(cells, words):
    assert agreement(*cells).words == words


def test_a_negative_count_is_refused():
    with pytest.raises(ValueError, match="both"):
        agreement(-1, 0, 0, 2)
