"""The bank is read whole or not at all; each complaint names file, entry and field."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.support.banks import with_change, with_more
from trainer.core.knowledge.complaint import BankProblems
from trainer.core.knowledge.order import binding_pairs, ring_in
from trainer.core.knowledge.quantity import quantity, said
from trainer.core.knowledge.read import read_bank, version_of
from trainer.core.knowledge.schema import bank_schema
from trainer.core.knowledge.words import MAIN_TOPICS
from trainer.use_cases.open_bank import shipped_files

FACTS = "methods/tape_in/facts.toml"
STEPS = "methods/tape_in/procedures.toml"
RULES = "methods/tape_in/rules.toml"
CONSULTATIONS = "shared/consultation_steps.toml"

MORE_FACT = """
[[fact]]
id = "tape_in.more"
service = "fit"
topic = "timings"
statement = "Something about {low} to {high} {unit}."
low = 1
high = 2
unit = "week"
critical = false
reviewed = 2026-11-01
basis = [{ kind = "common_practice" }]
"""
MORE_RULE = """
[[rule]]
id = "tape_in.more_rule"
verdict = "adapt"
topic = "contraindications"
critical = false
when = [{ attribute = "relaxed", is = true }]
statement = "s"
do = "d"
change = "c"
facts = ["tape_in.wear"]
"""


def complaints(files):
    with pytest.raises(BankProblems) as refused:
        read_bank(files)
    return [str(one) for one in refused.value.complaints]


MORE_STEP = """
[[consultation_step]]
id = "ask_more"
kind = "ask"
words = "Ask"
minutes = 1
reveals = ["age"]
"""
MORE_STORY = """
[settings]
also = ["clip_in"]

[[settings.story]]
weight = 1
set = { density = "low" }
"""

MEMORY, WEAK = "beaded_row.move_up", "clip_in.not_tension_free"
MORE_TROUBLE = """
[[trouble]]
id = "more"
kind = "stuck"
methods = ["tape_in"]
seen = ["s"]
do = ["d"]
because = "b"
facts = ["remove.match_agent"]
wrong = [{ text = "t", belief = "remove.one_remover", note = "n" }]
"""
MORE_CARE = """
[[care]]
id = "more"
text = "t"
holds_for = ["clip_in"]
wrong_for = ["tape_in"]
belief = "care.sleep_wet"
facts = ["remove.matting"]
because = "b"
"""
TROUBLES = "shared/troubles.toml"
CARE = "shared/home_care.toml"

BROKEN = [
    (TROUBLES, MORE_TROUBLE.replace('"stuck"', '"lost"'), "kind", "Input should be"),
    (TROUBLES, MORE_TROUBLE.replace('"tape_in"', '"tape_on"'), "methods", "no known method"),
    (TROUBLES, MORE_TROUBLE.replace("match_agent", "nothing"), "facts", "remove.nothing"),
    (TROUBLES, MORE_TROUBLE.replace("remove.match_agent", MEMORY), "facts", "memory alone"),
    (TROUBLES, MORE_TROUBLE.replace("remove.match_agent", WEAK), "facts", "weak or unconfirmed"),
    (TROUBLES, MORE_TROUBLE.replace("one_remover", "any"), "wrong 1.belief", "remove.any"),
    (TROUBLES, MORE_TROUBLE.replace('seen = ["s"]', "seen = []"), "seen", "is empty"),
    (CARE, MORE_CARE.replace("remove.matting", MEMORY), "facts", "memory alone"),
    (CARE, MORE_CARE.replace("care.sleep_wet", "care.any"), "belief", "care.any"),
    (CARE, MORE_CARE.replace('"clip_in"', '"all"'), "wrong_for", "takes in tape_in"),
    (CARE, MORE_CARE.replace('"tape_in"', '"tape_on"'), "wrong_for", "no known method"),
    (CONSULTATIONS, MORE_STEP.replace('"age"', '"mood"'), "reveals", "nothing known: mood"),
    (CONSULTATIONS, MORE_STEP.replace('["age"]', "[]"), "reveals", "is empty"),
    (CONSULTATIONS, MORE_STEP + 'wait_fact = "no.fact"', "wait_fact", "nothing known: no.fact"),
    ("consultations/more.toml", MORE_STORY.replace("density", "mood"), "mood", "no attribute"),
    ("consultations/more.toml", MORE_STORY.replace("low", "thin"), "density", "cannot be 'thin'"),
    ("consultations/more.toml", 'id = "more"', "settings.story", "is empty"),
    (FACTS, MORE_FACT.replace("high = 2", "hihg = 2"), "hihg", "not a field"),
    (FACTS, MORE_FACT.replace("unit = ", "# unit = "), "unit", "is missing"),
    (FACTS, MORE_FACT.replace('"week"', '"fortnight"'), "unit", "'fortnight'"),
    (FACTS, MORE_FACT.replace("low = 1", "low = 3"), "low", "above high"),
    (FACTS, MORE_FACT.replace("low = 1\nhigh = 2\n", ""), "statement", "the fact has none"),
    (FACTS, MORE_FACT.replace("{low} to {high}", "1 to {high}"), "statement", "repeats the figure"),
    (FACTS, MORE_FACT.replace('kind = "common_practice"', 'kind = "published"'), "basis", "source"),
    (
        FACTS,
        MORE_FACT.replace('kind = "common_practice"', 'kind = "published", source = "Z9"'),
        "basis",
        "Z9",
    ),
    (FACTS, MORE_FACT.replace("reviewed = 2026-11-01\n", ""), "reviewed", "missing"),
    (FACTS, MORE_FACT.replace("tape_in.more", "tape_in.wear"), "id", "already in"),
    (FACTS, MORE_FACT.replace("low = 1", 'low = "1"'), "low", "number"),
    (FACTS, "[[fact", "", "is not TOML"),
    (FACTS, '[[tip]]\nid = "x"\n', "tip", "no table"),
    (RULES, MORE_RULE.replace("tape_in.wear", "tape_in.wera"), "facts", "tape_in.wera"),
    (RULES, MORE_RULE.replace('"relaxed"', '"relaxd"'), "when", "relaxd"),
    (RULES, MORE_RULE.replace("is = true", 'is = "yes"'), "when", "'yes'"),
    (RULES, MORE_RULE.replace("is = true", "is = true, at_least = 1"), "when", "exactly one"),
    (
        RULES,
        MORE_RULE.replace(
            'when = [{ attribute = "relaxed", is = true }]',
            'when = [{ attribute = "age", at_least = 40 }, { attribute = "age", below = 30 }]',
        ),
        "when",
        "no client can meet",
    ),
    (
        RULES,
        MORE_RULE.replace(
            'when = [{ attribute = "relaxed", is = true }]',
            'when = [{ attribute = "last_attachment", is = "none" }, '
            '{ attribute = "pain_with_last", is = true }]',
        ),
        "when",
        "no such client",
    ),
    (RULES, MORE_RULE.replace('"adapt"', '"perhaps"'), "verdict", "Input should be"),
    (
        RULES,
        MORE_RULE.replace('"relaxed", is = true', '"age", below = "tape_in.none/low"'),
        "when",
        "names no figure",
    ),
]


@pytest.mark.parametrize(("path", "more", "field", "what"), BROKEN)
def test_each_fault_is_named_by_file_entry_and_field(path, more, field, what):
    found = complaints(with_more(path, more))
    hits = [one for one in found if what in one and field in one]
    assert hits, found
    assert all(one.startswith(path) for one in hits)


def test_a_ring_of_steps_is_named():
    files = with_change(STEPS, 'id = "shield"\n', 'id = "shield"\nafter = ["part"]\n')
    found = complaints(files)
    assert any("ring" in one for one in found), found


def test_a_step_after_nothing_known_is_named():
    files = with_change(STEPS, 'after = ["wait"]', 'after = ["waits"]')
    assert any("waits" in one and STEPS in one for one in complaints(files))


def test_a_method_without_procedures_is_named():
    files = {path: text for path, text in shipped_files().items() if path != STEPS}
    assert any("has no procedure to remove" in one for one in complaints(files))


def test_every_complaint_comes_at_once():
    files = with_more(FACTS, MORE_FACT.replace("low = 1", "low = 3"))
    files[RULES] += MORE_RULE.replace("tape_in.wear", "nowhere")
    assert len(complaints(files)) == 2


def test_the_shipped_bank_is_large_enough(bank):
    assert len(bank.methods) == 7
    assert len(bank.facts) >= 150
    assert len(bank.rules) >= 40
    assert len(bank.misconceptions) >= 50
    for method in bank.methods:
        for service in ("fit", "maintain", "remove"):
            procedure = bank.procedure(method, service)
            assert procedure.forbidden, procedure.id
            assert binding_pairs({s.id: s.after for s in procedure.steps})
            assert any(one.critical for one in bank.criteria_of(method, service))
        keyed = {fact.topic for fact in bank.facts_of(method) if fact.may_key}
        assert set(MAIN_TOPICS) <= keyed


def test_what_rests_on_memory_keys_nothing(bank):
    assert not bank.facts["beaded_row.move_up"].may_key
    assert bank.facts["tape_in.wear"].may_key
    assert not bank.facts["clip_in.not_tension_free"].may_key_critical


def test_any_change_of_content_is_another_version():
    files = shipped_files()
    changed = with_change(FACTS, "critical = true", "critical = false")
    assert version_of(files) != version_of(changed)
    assert version_of(files) == version_of(dict(reversed(files.items())))


def test_figures_are_said_for_people(bank):
    assert quantity(4, 8, "week") == "4 to 8 weeks"
    assert quantity(1, 1, "week") == "1 week"
    assert quantity(70, 90, "%") == "70 to 90%"
    assert quantity(None, None, "") == ""
    assert "4 to 8 weeks" in said(bank.facts["tape_in.wear"])


def test_the_schema_names_every_table():
    schema = bank_schema()
    assert {"fact", "rule", "procedure", "method"} <= set(schema["properties"])


@given(st.permutations("abcdef"), st.data())
def test_pairs_of_an_order_hold_in_every_order_it_allows(order, data):
    after = {
        step: data.draw(st.sets(st.sampled_from(order[:place]), max_size=2)) if place else set()
        for place, step in enumerate(order)
    }
    assert ring_in(after) == []
    assert all(order.index(a) < order.index(b) for a, b in binding_pairs(after))


def test_a_ring_is_found():
    assert ring_in({"a": ["b"], "b": ["c"], "c": ["a"]}) == ["a", "b", "c", "a"]


@pytest.mark.parametrize("named", ["O99", "A1", "O7"])
def test_a_method_answers_only_to_an_occupational_standard_with_its_code(named):
    files = with_change(
        "methods/fusion_bond/method.toml", 'standards = ["O1"]', f'standards = ["{named}"]'
    )
    found = complaints(files)
    assert any("standards" in one and named in one for one in found)
