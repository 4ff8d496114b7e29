"""Somebody who knows nothing gains little: from the surface, or from words learnt elsewhere.

Over 5,000 items of all families; `python -m tests.benchmarks.guess` says what to mend.
"""

from dataclasses import replace

import pytest

from tests.support import guessing
from trainer.core.items.item import Option
from trainer.core.scenarios.audit import surface

ITEMS = 5000
LARGEST_GAIN, LARGEST_BY_WORDS = 0.05, 0.08


@pytest.fixture(scope="module")
def items(bank):
    return guessing.some_items(bank, ITEMS)


@pytest.mark.parametrize("name", surface.WAYS)
def test_no_way_to_guess_gains(items, name):
    assert guessing.by_way(items, name).gain < LARGEST_GAIN


def test_all_ways_together_learnt_on_other_questions_gain_nothing(bank, items):
    assert guessing.by_all_ways_unseen(bank, items).gain < LARGEST_GAIN


def test_words_learnt_from_other_questions_give_nothing_away(bank, items):
    scores = [score for score, _ in guessing.by_words_unseen(bank, items).values()]
    assert abs(guessing.together(scores).gain) < LARGEST_BY_WORDS


def test_the_guessers_find_what_there_is(bank, items):
    """Keys made longest, or marked by a word: both guessers see it."""
    told = [
        replace(
            item,
            options=tuple(
                Option(o.id, f"{o.text} properly and gladly" if o.id in item.key else o.text)
                for o in item.options
            ),
        )
        for item in items[:600]
    ]
    assert guessing.by_way(told, "the longest").gain > 0.2
    assert guessing.by_all_ways(told[:300], told[300:]).gain > 0.2
    words = guessing.by_words_unseen(bank, told)
    assert guessing.together([score for score, _ in words.values()]).gain > 0.5
