"""Same seed, same item; one right answer, reached again from the givens; every topic there."""

import json
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.items.codec import as_contract, as_kept, from_kept
from trainer.core.items.registry import ITEM_TYPES, type_of
from trainer.core.knowledge.words import MAIN_TOPICS
from trainer.core.problems import InputProblem
from trainer.core.scenarios.audit import examine, item_findings, settle
from trainer.core.scenarios.case import LEVELS
from trainer.core.scenarios.family import families, family
from trainer.core.scenarios.generate import generate
from trainer.use_cases.open_bank import open_bank

NAMES = [one.id for one in families(open_bank())]


def test_there_are_models_types_and_topics_enough(bank):
    found = families(bank)
    assert len({one.recipe.id for one in found}) >= 10
    assert {one.recipe.type for one in found} == set(ITEM_TYPES)
    for method in bank.methods:
        assert set(MAIN_TOPICS) <= {one.topic for one in families(bank, method=method)}, method


@given(st.sampled_from(NAMES), st.integers(0, 10**6), st.sampled_from(LEVELS))
def test_any_item_is_the_same_again_and_sound(name, seed, level):
    bank = open_bank()
    item = generate(bank, name, seed, level)
    again = generate(bank, name, seed, level)
    assert json.dumps(as_kept(item)) == json.dumps(as_kept(again))
    assert item_findings(bank, item) == []
    assert from_kept(json.loads(json.dumps(as_kept(item)))) == from_kept(as_kept(item))


@given(st.sampled_from(NAMES), st.integers(0, 10**6))
def test_the_key_is_right_and_wrong_answers_are_wrong(name, seed):
    item = generate(open_bank(), name, seed)
    kind = type_of(item)
    key = {"put_in_order": None, "number": None}.get(item.heading.type, item.key)
    if item.heading.type == "number":
        key = item.key["value"]
    if key is not None:
        assert kind.mark(item, kind.accept(key, item)).score == 1.0
    if item.heading.type == "choose_one":
        for option in item.options:
            if option.id not in item.key:
                mark = kind.mark(item, [option.id])
                assert mark.score == 0.0
                assert mark.misconceptions
                assert mark.critical_error is item.injured_by(mark.misconceptions)


def test_unknown_families_and_levels_are_refused(bank):
    with pytest.raises(InputProblem, match="no family"):
        generate(bank, "nothing.tape_in", 1)
    with pytest.raises(InputProblem, match="no level"):
        generate(bank, NAMES[0], 1, "expert")


def test_the_contract_s_shape(bank):
    row = as_contract(generate(bank, "offer_verdict.tape_in", 1))
    assert list(row) == [
        *("id", "family", "method", "topic", "type", "critical", "stem", "figure", "givens"),
        *("options", "key", "explanation", "facts", "misconceptions", "level", "features"),
        "bank_version",
    ]


EXAMINED = {}


def examined(bank, name):
    """What 100 seeds of a family came to, looked at once."""
    if name not in EXAMINED:
        EXAMINED[name] = examine(bank, family(bank, name), 100)
    return EXAMINED[name]


@pytest.mark.parametrize("name", NAMES)
def test_every_family_passes_its_audit(bank, name):
    """But for what a guesser gains in one family alone: `test_guessing` looks at all together."""
    found = examined(bank, name)
    assert [one for one in found.findings if "is right in" not in one.what] == []


def test_keys_stand_in_any_place(bank):
    """All families together: among hundreds, some look crooked by chance alone (Holm)."""
    settled = settle([examined(bank, name) for name in NAMES])
    assert [o.family for o in settled if any("after Holm" in f.what for f in o.findings)] == []


def test_going_ahead_is_right_about_as_often_as_at_the_chair(bank):
    items = [generate(bank, "offer_verdict.fusion_bond", seed) for seed in range(200)]
    calm = sum(item.facts == ("consult.before_attaching",) for item in items)
    assert 0.15 <= calm / len(items) <= 0.4


def test_a_guesser_who_remembers_options_but_reads_no_story_gains_little(bank):
    """Remembers from 200 items how often each option text was right; chance is 1 in 4."""
    items = [generate(bank, "offer_verdict.tape_in", seed) for seed in range(500)]
    right, shown = Counter(), Counter()
    for item in items[:200]:
        for option in item.options:
            shown[option.text] += 1
            right[option.text] += option.id in item.key
    hits = sum(
        max(item.options, key=lambda o: (right[o.text] + 0.25) / (shown[o.text] + 1)).id in item.key
        for item in items[200:]
    )
    assert hits / 300 < 0.5


@pytest.mark.parametrize(
    ("kind", "folder"), [("item_models", "item_models"), ("consultations",) * 2]
)
def test_a_broken_model_is_named_by_its_file(bank, kind, folder):
    held = getattr(bank, kind)
    name = next(iter(held))
    broken = replace(bank, **{kind: held | {name: held[name] | {"title": 7}}})
    with pytest.raises(InputProblem) as told:
        families(broken)
    assert told.value.where == f"{folder}/{name}.toml: title"
