"""The audit sees what it forbids."""

import re
from dataclasses import replace

import pytest
import readability

from trainer.core.items.item import Option
from trainer.core.knowledge.quantity import said
from trainer.core.scenarios.audit import item_findings
from trainer.core.scenarios.audit.guidelines import GUIDELINES
from trainer.core.scenarios.audit.item import BANK_CHECKS, WORD_CHECKS
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


def last_said(sound, text):
    return replace(sound, options=(*sound.options[:-1], Option(sound.options[-1].id, text)))


@pytest.mark.parametrize(
    ("text", "guideline"),
    [
        ("None of the above.", "HDR 25"),
        ("All of these.", "HDR 26"),
        ("Both a and c.", "HDR 9"),
        ("Slide it off.\nThen comb.", "HDR 10"),
        ("Do NOT wait.", "HDR 27"),
        ("Pull it off at once!", "HDR 31"),
        ("comb it out.", "HDR 23"),
        ("Comb the the hair.", "HDR 12"),
        ("", "HDR 11"),
    ],
)
def test_poor_answers(bank, sound, text, guideline):
    assert guideline in told(bank, last_said(sound, text))


def test_an_answer_that_holds_another_or_turns_it_round(bank, sound):
    first = sound.options[0].text
    assert "HDR 22" in told(bank, last_said(sound, f"{first.strip('.')} and rinse."))
    head, _, rest = first.partition(" ")
    assert "HDR 7" in told(bank, last_said(sound, f"{head} not {rest}"))


def test_too_few_and_too_many_answers(bank, sound):
    assert "HDR 18" in told(bank, replace(sound, options=sound.options[:2]))


@pytest.mark.parametrize(
    ("stem", "guideline"),
    [
        ("Which of these steps is NOT part of the removal of tapes?", "HDR 17"),
        ("You take out {{ name }}'s tapes today; which line goes?", "HDR 11"),
        ("You lift a attachment at the nape; which line do you strike?", "HDR 12"),
        ("Which line?", "HDR 15"),
        ("Which of these lines do you think is the worst?", "HDR 6"),
        ("One line of this plan must go today.", "HDR 14"),
        ("Is the plan sound? Which line of it do you strike out?", "HDR 14"),
        (f"Which line goes? {'The plan is a plan of hers. ' * 30}", "HDR 13"),
        ("She is here. She is here. Which line of the plan goes?", "HDR 16"),
        ("Which of the lines of this plan are to be stopped?", "HDR 28c"),
        ("a line of this plan is to be struck out. Which?", "HDR 12"),
    ],
)
def test_poor_stems(bank, sound, stem, guideline):
    assert guideline in told(bank, replace(sound, stem=stem))


def test_an_unconfirmed_fact_keys_nothing(bank, sound):
    assert "design 4.1" in told(bank, replace(sound, facts=("beaded_row.move_up",)))


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


def test_the_grade_is_the_librarys(bank):
    """readability's own reckoning of the same text, one sentence a line, words set apart."""
    text = generate(bank, "return_window.tape_in", 3).stem.replace("\n", " ")
    lines = "\n".join(
        " ".join(re.findall(r"[\w'-]+|[.?!,:;]", line))
        for line in re.split(r"(?<=[.?!:])\s+", text)
    )
    whole = readability.getmeasures(lines, lang="en")["readability grades"]["Kincaid"]
    assert grade(text) == pytest.approx(whole)


def test_a_critical_item_needs_a_critical_fact_and_its_own_topic(bank, sound):
    calm = next(n for n, f in bank.facts.items() if f.may_key and not f.critical)
    assert "HDR 2" in told(bank, replace(sound, critical=True, facts=(calm,)))
    elsewhere = replace(sound.heading, topic="hygiene_products")
    assert "HDR 1" in told(bank, replace(sound, heading=elsewhere))


def test_a_fact_word_for_word_is_recall(bank, sound):
    fact = said(bank.facts[sound.facts[0]])
    options = tuple(Option(o.id, fact) if o.id in sound.key else o for o in sound.options)
    assert "HDR 3" in told(bank, replace(sound, options=options))


def test_wrong_answers_need_a_known_belief_and_a_reason(bank, sound):
    beliefs = dict.fromkeys(sound.misconceptions, "no.belief")
    assert "HDR 30" in told(bank, replace(sound, misconceptions=beliefs))
    assert "HDR 29" in told(bank, replace(sound, notes={}))


def test_wrong_figures_and_days_of_another_size(bank):
    number = generate(bank, "growth_out.tape_in", 3)
    belief = next(iter(number.misconceptions.values()))
    for slip, guideline in (("-4", "HDR 28f"), (str(number.key["value"] + 1), "HDR 7")):
        assert guideline in told(bank, replace(number, misconceptions={slip: belief}))
    day = generate(bank, "return_window.tape_in", 3)
    assert "HDR 28f" in told(bank, replace(day, misconceptions={"2031-01-01": belief}))


def test_nobody_can_be_that_client(bank):
    item = generate(bank, "offer_verdict.tape_in", 3)
    impossible = next(one for one in bank.impossible if all(c.is_ is not None for c in one.when))
    profile = item.givens["profile"] | {c.attribute: c.is_ for c in impossible.when}
    found = told(bank, replace(item, givens={**item.givens, "profile": profile}))
    assert "design 4.6a" in found


def test_every_guideline_says_how_it_is_seen():
    used = {number for number, _ in (*WORD_CHECKS, *BANK_CHECKS)}
    published = [one for one in GUIDELINES.values() if one.number.startswith("HDR")]
    assert {int(re.search(r"\d+", one.number)[0]) for one in published} == set(range(1, 32))
    for one in GUIDELINES.values():
        assert one.seen != "question" or one.number in used, one.number
    assert sum(one.seen != "people" for one in published) >= 20
