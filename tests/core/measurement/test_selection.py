"""What comes first in practice, and that the reason is true."""

from dataclasses import replace

import pytest

from trainer.core.draw import Draw
from trainer.core.measurement.ability import Ability
from trainer.core.measurement.selection import Choice, level_for, pick, utility

PLAIN = Choice("plain", False, Ability(0.6, 0.5), 9, 3.0)
STANDARD = 0.8


def first(*choices):
    return pick(choices, STANDARD, Draw("x"))


def test_what_was_assigned_comes_first():
    asked = replace(PLAIN, id="asked", ability=Ability(2.0, 0.3), assigned=True, due_days=2.5)
    safety = replace(PLAIN, id="safety", critical=True)
    picked = first(safety, asked)
    assert picked.choice.id == "asked"
    assert picked.reason == "Your instructor asked for this. It is due in 2 days."


def test_a_near_date_weighs_more():
    late, soon = (replace(PLAIN, assigned=True, due_days=d) for d in (-1.0, 6.0))
    assert utility(late, STANDARD) > utility(soon, STANDARD)
    assert "passed" in first(late).reason


def test_safety_before_the_rest():
    safety = replace(PLAIN, id="safety", critical=True)
    picked = first(PLAIN, safety)
    assert picked.choice.id == "safety"
    assert "Safety" in picked.reason


def test_not_the_same_again():
    again, other = replace(PLAIN, id="again", just_now=True), replace(PLAIN, id="other")
    assert first(again, other).choice.id == "other"


def test_the_edge_before_what_is_known():
    known = replace(PLAIN, id="known", ability=Ability(3.0, 0.5))
    assert first(known, PLAIN).choice.id == "plain"
    assert "well" in first(known).reason


def test_what_fades_comes_back():
    faded = replace(PLAIN, id="faded", days_since=20.0)
    picked = first(PLAIN, faded)
    assert picked.choice.id == "faded"
    assert "fading" in picked.reason


def test_new_and_dangerous_says_so():
    assert "hurt" in first(replace(PLAIN, critical=True, responses=0, days_since=None)).reason


def test_nothing_to_choose_from():
    with pytest.raises(ValueError, match="nothing"):
        pick([], STANDARD, Draw("x"))


def test_levels_follow_ability():
    assert level_for(Ability(2.0, 0.3), 1) == "foundation"
    assert [level_for(Ability(m, 0.3), 9) for m in (-1.5, 0.1, 1.5)] == [
        "foundation",
        "working",
        "advanced",
    ]
