"""The audit sees what it forbids."""

from dataclasses import replace

import pytest

from trainer.core.items.item import Option
from trainer.core.scenarios.audit_item import item_findings
from trainer.core.scenarios.generate import generate
from trainer.core.scenarios.reading import grade
from trainer.core.scenarios.resolve import resolve


@pytest.fixture
def sound(bank):
    return generate(bank, "unsafe_removal.tape_in", 3)


def told(bank, item):
    return " | ".join(f"{guideline}: {what}" for guideline, what in item_findings(bank, item))


def test_a_sound_item_has_no_findings(bank, sound):
    assert item_findings(bank, sound) == []


def test_two_options_that_read_the_same(bank, sound):
    options = (*sound.options[:-1], Option(sound.options[-1].id, sound.options[0].text))
    assert "read the same" in told(bank, replace(sound, options=options))


def test_two_keys(bank, sound):
    assert "2 right options" in told(bank, replace(sound, key=["a", "b"]))


def test_a_wrong_key_is_caught_by_the_second_reckoning(bank, sound):
    other = next(option.id for option in sound.options if option.id not in sound.key)
    assert "reached" in told(bank, replace(sound, key=[other]))


def test_all_of_the_above(bank, sound):
    options = (*sound.options[:-1], Option(sound.options[-1].id, "All of the above"))
    assert "HDR 25" in told(bank, replace(sound, options=options))


@pytest.mark.parametrize(
    ("stem", "guideline"),
    [
        ("Which of these steps is NOT part of the removal of tapes?", "HDR 17"),
        ("You take out {{ name }}'s tapes today; which line goes?", "HDR 12"),
        ("You lift a attachment at the nape; which line do you strike?", "HDR 12"),
        ("Which line?", "HDR 15"),
    ],
)
def test_poor_stems(bank, sound, stem, guideline):
    assert guideline in told(bank, replace(sound, stem=stem))


def test_an_unconfirmed_fact_keys_nothing(bank, sound):
    assert "unconfirmed" in told(bank, replace(sound, facts=("beaded_row.move_up",)))


def test_only_wrong_answers_absolute(bank, sound):
    options = tuple(
        option if option.id in sound.key else Option(option.id, f"Always {option.text}")
        for option in sound.options
    )
    assert "HDR 28a" in told(bank, replace(sound, options=options))


def test_givens_without_the_case_reach_no_key(bank):
    item = generate(bank, "return_window.tape_in", 3)
    moved = {**item.givens, "fitted": "2026-01-05", "away": ["2026-01-06", "2026-01-07"]}
    assert resolve(bank, replace(item, givens=moved)) != [item.key]


def test_longer_words_and_sentences_read_harder():
    easy = "The tape is wet. Wait a bit. Then lift it off."
    hard = (
        "Notwithstanding considerable dermatological contraindications, professional "
        "practitioners occasionally recommend supplementary attachment methodologies."
    )
    assert grade(easy) < 5 < grade(hard)
    assert grade("") == 0
