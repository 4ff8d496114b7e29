"""What the audit sees in many items together: places, lengths, guesses, cases, capacity."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.draw import Draw
from trainer.core.items.item import Option
from trainer.core.scenarios.audit import AuditResult, settle, surface
from trainer.core.scenarios.audit.capacity import measured, two_figures
from trainer.core.scenarios.audit.run import holm
from trainer.core.scenarios.audit.together import Looked, guesses, independence, positions, variety
from trainer.core.scenarios.family import family
from trainer.core.scenarios.generate import generate

NAME = "unsafe_removal.micro_link"


@pytest.fixture(scope="module")
def items(bank):
    return [generate(bank, NAME, seed) for seed in range(150)]


def looked(bank, items, look, **changes):
    found = family(bank, NAME)
    seen = Looked(bank, replace(found, recipe=replace(found.recipe, **changes)), items)
    look(seen)
    return seen


def moved(item, place):
    """The same item with its key in another place."""
    key = next(option for option in item.options if option.id in item.key)
    rest = [option.text for option in item.options if option is not key]
    texts = [*rest[:place], key.text, *rest[place:]]
    letters = [option.id for option in item.options]
    options = tuple(Option(a, text) for a, text in zip(letters, texts, strict=True))
    return replace(item, options=options, key=[letters[place]])


def told(seen):
    return " | ".join(f"{one.guideline}: {one.what}" for one in seen.findings)


def test_a_key_that_is_mostly_first_is_found_after_holm(bank, items):
    crooked = [moved(item, 0) if n % 2 else item for n, item in enumerate(items)]
    p = looked(bank, crooked, positions).figures["position_p"]
    assert p < 1e-6 < looked(bank, items, positions).figures["position_p"]
    rows = [AuditResult(str(n), 150, (), {"position_p": q}) for n, q in enumerate([p, 0.3, 0.7])]
    settled = settle(rows)
    assert [one.passed for one in settled] == [False, True, True]
    assert "HDR 20" in settled[0].findings[0].guideline


def test_a_key_that_is_mostly_longest_is_found(bank, items):
    padded = [
        replace(
            item,
            options=tuple(
                Option(o.id, o.text + " Then rinse, dry and look again with care." * 3)
                if o.id in item.key
                else o
                for o in item.options
            ),
        )
        for item in items
    ]
    found = looked(bank, padded, guesses)
    assert "HDR 24" in told(found)
    assert found.figures["longest_is_key"] == 1.0


def test_words_of_the_stem_in_the_key_are_found(bank, items):
    echo = [
        replace(
            item,
            options=tuple(
                Option(o.id, f"{o.text} {item.stem}" if o.id in item.key else o.text)
                for o in item.options
            ),
        )
        for item in items
    ]
    assert "HDR 28b" in told(looked(bank, echo, guesses))


def test_the_same_case_again_and_again_is_found(bank, items):
    assert told(looked(bank, items, variety)) == ""
    assert "design 4.6b" in told(looked(bank, items[:3] * 50, variety))


def test_a_promise_of_more_cases_than_there_are_is_found(bank, items):
    many = items * (1000 // len(items) + 1)
    assert "design 4.6c" in told(looked(bank, many, variety, capacity=10**6))
    assert told(looked(bank, many, variety, capacity={"micro_link": 20})) == ""
    assert told(looked(bank, items, variety, capacity=10**6)) == ""  # too few to judge


def test_a_stem_that_tells_the_next_key_is_found(bank, items):
    key = next(o.text for o in items[0].options if o.id in items[0].key)
    leaking = [items[0], replace(items[1], stem=f"You read: {key} Which line goes?")]
    assert "HDR 4" in told(looked(bank, leaking, independence))
    assert "HDR 4" in told(looked(bank, items, independence, enemies=("nothing",)))


def test_a_way_without_an_opinion_gains_nothing(items):
    blind = {option.id: 0.0 for option in items[0].options}
    assert surface.success(items[0], blind) == surface.chance(items[0])


def test_chao_s_example():
    """D = 5, f1 = 3, f2 = 1: 5 + 9 / 2. By hand from the formula."""
    found = measured(["a", "b", "c", "d", "d", "e", "e", "e"])
    assert (found.distinct, found.once, found.twice) == (5, 3, 1)
    assert found.estimated == pytest.approx(9.5)
    assert found.low <= found.estimated <= found.high


@given(st.integers(2, 60), st.integers(0, 10**6))
def test_the_estimate_holds_the_truth_for_even_contents(classes, seed):
    """400 draws from at most 60 equal classes see them all, or nearly; nothing is invented."""
    draw = Draw("even", seed)
    found = measured(str(draw.below(classes)) for _ in range(400))
    assert found.distinct <= classes <= found.high + 2
    assert found.to_declare <= classes
    assert found.alike == pytest.approx(1 / classes, abs=0.1)


def test_half_seen_is_told_from_all_seen():
    draw = Draw("half")
    found = measured(str(draw.below(1000)) for _ in range(700))
    assert 450 < found.distinct < 550
    assert found.low < 1000 < found.high


def test_two_figures():
    assert [two_figures(n) for n in (0, 7, 99.9, 1234, 56789)] == [0, 7, 99, 1200, 56000]


def test_holm_by_hand():
    """Holm 1979: sorted p times m, m - 1, ..., never falling."""
    assert holm([0.01, 0.04, 0.03]) == pytest.approx([0.03, 0.06, 0.06])
    assert holm([]) == []


@given(st.lists(st.floats(0, 1), min_size=1, max_size=30))
def test_holm_never_lowers_and_keeps_the_order(chances):
    corrected = holm(chances)
    assert all(p <= q <= 1 for p, q in zip(chances, corrected, strict=True))
    ranked = sorted(zip(chances, corrected, strict=True))
    assert [q for _, q in ranked] == sorted(corrected)
