"""Chance that is the same everywhere, and fair."""

from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.draw import Draw

WORDS = st.lists(st.one_of(st.text(max_size=8), st.integers()), min_size=1, max_size=4)


def test_by_hand_from_the_digest():
    """The last eight bytes of SHA-256 of the words, a mark and 0, of which 53 bits count."""
    digest = sha256(b"family\x1f7\x1e0").digest()
    expected = (int.from_bytes(digest[-8:], "big") >> 11) / 2**53
    assert Draw("family", 7).fraction() == expected


@given(WORDS, st.integers(1, 40))
def test_the_same_words_give_the_same_draws(words, count):
    one, other = Draw(*words), Draw(*words)
    assert [one.fraction() for _ in range(count)] == [other.fraction() for _ in range(count)]


@given(WORDS, st.integers(0, 9))
def test_a_branch_does_not_depend_on_draws_made_before(words, count):
    used = Draw(*words)
    for _ in range(count):
        used.fraction()
    assert used.branch("x").fraction() == Draw(*words).branch("x").fraction()


def test_draws_are_spread_evenly():
    draw = Draw("even")
    counts = [0] * 10
    for _ in range(20_000):
        counts[draw.below(10)] += 1
    assert all(1800 < count < 2200 for count in counts)
    firsts = [Draw("first", n).below(2) for n in range(4000)]
    assert 1850 < sum(firsts) < 2150


def test_every_order_is_about_as_likely():
    seen: dict[str, int] = {}
    for n in range(6000):
        order = "".join(Draw("order", n).shuffled("abc"))
        seen[order] = seen.get(order, 0) + 1
    assert len(seen) == 6 and all(850 < count < 1150 for count in seen.values())


@given(WORDS, st.integers(1, 10**9))
def test_within_bounds(words, n):
    draw = Draw(*words)
    assert 0 <= draw.fraction() < 1
    assert 0 <= draw.below(n) < n
    with pytest.raises(ValueError, match="n=0"):
        draw.below(0)
