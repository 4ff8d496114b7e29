"""What every generated question has, whatever it asks: even chances, a length to be read, sense."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.advice.verdict import RANK, verdict_of
from trainer.core.draw import Draw
from trainer.core.items.item import Option
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import _coins, generate
from trainer.core.scenarios.people import plain_profile
from trainer.core.scenarios.size import MOST_IN_ALL, MOST_WORDS, too_long, words_in


@given(st.integers(0, 10**9), st.text(max_size=5), st.sampled_from([0.2, 0.25, 0.5]))
def test_coins_fall_evenly_over_any_run_of_seeds(first, word, share):
    """Kronecker's sequence: within one point over a thousand, where chance strays by four."""
    coins = [_coins(Draw("even", word), seed) for seed in range(first, first + 1000)]
    for side in (0, 1):
        assert all(0 <= coin[side] < 1 for coin in coins)
        assert sum(coin[side] < share for coin in coins) / 1000 == pytest.approx(share, abs=0.01)
    both = sum(one < share and other < share for one, other in coins) / 1000
    assert both == pytest.approx(share**2, abs=0.02)


def test_a_question_that_is_too_long_is_known_and_not_made(bank):
    item = generate(bank, "whom_to_send.tape_in", 5)
    stem, whole = words_in(item)
    assert stem <= MOST_WORDS and whole <= MOST_IN_ALL
    longer = replace(item, stem=" ".join(["word"] * (MOST_WORDS + 1)))
    assert too_long(longer)
    wordy = tuple(Option(o.id, " ".join([o.text] * MOST_IN_ALL)) for o in item.options)
    assert too_long(replace(item, options=wordy))
    for seed in range(150):
        assert not too_long(generate(bank, "graver_of_two.wig_piece", seed))


@pytest.mark.parametrize("model", ["unsafe_fitting", "unsafe_upkeep", "unsafe_removal"])
def test_no_plan_holds_a_line_and_its_own_opposite(bank, model):
    for found in _of(bank, model):
        for seed in range(15):
            item = generate(bank, found.id, seed)
            procedure = bank.procedure(found.method, found.recipe.service)
            named = item.givens["lines"].values()
            bad = next(one for one in procedure.forbidden if one.id in named)
            for step in procedure.steps:
                assert step.id not in named or not set(step.facts) & set(bad.facts)


def _of(bank, model):
    return [one for one in families(bank) if one.recipe.id == model]


def test_what_is_told_can_turn_what_a_drawing_asks_for(bank):
    """Harmless flakes on a scalp that hurts stop the work: the key follows the rules."""
    turned = 0
    for seed in range(120):
        item = generate(bank, "signs_drawn.tape_in", seed)
        plain = plain_profile(bank, Draw("plain"))
        seen = replace(plain, values={**plain.values, **item.givens["seen"]})
        stops = RANK[verdict_of(bank, "tape_in", seen)[0]] >= RANK["refer"]
        right = next(o.text for o in item.options if o.id in item.key)
        assert item.givens["meanings"][right]["sends"] is stops
        turned += stops and item.givens["drawn"] in ("flakes", "low_edge")
    assert turned > 5
