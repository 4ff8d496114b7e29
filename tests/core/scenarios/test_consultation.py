"""Consultations: keys as the trade would have them, nothing hidden before it is found, variety."""

import json
from collections.abc import Mapping
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.support.consulted import needed
from trainer.core.advice.profile import Profile, defaults, holds
from trainer.core.advice.verdict import RANK, verdict_of
from trainer.core.draw import Draw
from trainer.core.items.consulting import chair
from trainer.core.knowledge.profile_sheet import Attribute
from trainer.core.scenarios.audit import right_texts
from trainer.core.scenarios.case import LEVELS, Case
from trainer.core.scenarios.consultation.client import draw_client
from trainer.core.scenarios.consultation.findings import is_calm, ways_for
from trainer.core.scenarios.consultation.key import (
    Salon,
    entries,
    judge,
    one_answer,
    plans,
)
from trainer.core.scenarios.family import families, family
from trainer.core.scenarios.generate import generate
from trainer.core.scenarios.resolve import resolve
from trainer.use_cases.open_bank import open_bank

NAMES = [one.id for one in families(open_bank(), type="consultation")]
MODELS = sorted(open_bank().consultations)
TUESDAY = date(2026, 3, 3)
OPEN = (2, 3, 4, 5, 6)
SEEDS = st.integers(0, 10**6)
PLAIN = {"skin_test_result": "none", "pull_test_hairs": 1, "wanted_grams": 100}


def judged(bank, methods, result="clear", **hidden):
    before = Profile({**defaults(bank), **PLAIN, **hidden})
    after = before.changed(skin_test_result=result, skin_test_hours=48)
    salon = Salon(methods, TUESDAY, OPEN)
    ruled = [judge(bank, method, before, after) for method in methods]
    found = entries(bank, ruled, after, ("age", "parent_consent", "fusion_tool", "wig_attachment"))
    verdicts = {one.method: one.verdict for one in ruled}
    return verdicts, found, plans(bank, salon, ruled, after)


@pytest.mark.parametrize(
    ("methods", "hidden", "verdicts", "step"),
    [
        (("tape_in", "clip_in"), {"acrylate_reaction": True}, "refer go_ahead", "ask_reactions"),
        (("fusion_bond", "clip_in"), {"weeks_since_birth": 17}, "wait go_ahead", "ask_health"),
        (("tape_in", "clip_in"), {"weeks_since_birth": 40}, "go_ahead go_ahead", None),
        (("sewn_weft", "fusion_bond"), {"relaxed": True}, "decline adapt", "ask_chemical"),
        (("micro_link", "clip_in"), {"metal_reaction": True}, "refer refer", "ask_reactions"),
        (("tape_in", "clip_in"), {"edge_thinning": True}, "refer refer", "look_hairline"),
        (("tape_in", "wig_piece"), {"returns_for_visits": False}, "decline go_ahead", "ask_visits"),
        (("fusion_bond", "clip_in"), {"stretch_test": "snaps"}, "decline decline", "stretch_test"),
        (("fusion_bond",), {"months_since_chemo": 8}, "refer", "ask_health"),
        (("clip_in", "tape_in"), {"age": 14}, "decline decline", None),
        (("tape_in",), {"oils_roots": True}, "decline", "ask_care"),
    ],
)
def test_cases_of_the_trade(bank, methods, hidden, verdicts, step):
    decided, found, _ = judged(bank, methods, **hidden)
    assert list(decided.values()) == verdicts.split()
    if step:
        assert any(step in entry.steps and entry.found for entry in found)


def test_a_first_set_of_tapes_waits_for_its_skin_test_and_no_longer(bank):
    decided, found, plan = judged(bank, ("tape_in", "clip_in"))
    assert decided == {"tape_in": "go_ahead", "clip_in": "go_ahead"}
    assert any(entry.steps == ("skin_test",) and "tape_in" in entry.methods for entry in found)
    assert plan["earliest"] == "2026-03-05"
    assert (plan["return_from"], plan["return_until"]) == ("2026-04-02", "2026-04-30")
    assert plan["grams"] == {"low": 60, "high": 100}


def test_a_test_that_reacts_refers_and_plans_another_way(bank):
    decided, found, plan = judged(bank, ("tape_in", "clip_in"), "reacted")
    assert decided == {"tape_in": "refer", "clip_in": "go_ahead"}
    assert any(entry.steps == ("skin_test",) and entry.found for entry in found)
    assert (plan["method"], plan["earliest"], plan["return_from"]) == (
        "clip_in",
        "2026-03-03",
        None,
    )


def test_who_may_wear_nothing_is_planned_nothing(bank):
    assert judged(bank, ("tape_in", "clip_in"), edge_thinning=True)[2] is None


def test_the_plan_falls_on_a_day_of_work(bank):
    before = Profile({**defaults(bank), **PLAIN})
    after = before.changed(skin_test_result="clear", skin_test_hours=48)
    saturday = Salon(("tape_in",), date(2026, 3, 7), OPEN)
    plan = plans(bank, saturday, [judge(bank, "tape_in", before, after)], after)
    assert plan["earliest"] == "2026-03-10"


def test_where_pull_is_the_worry_the_set_is_lighter(bank):
    _, _, plan = judged(bank, ("fusion_bond",), relaxed=True)
    assert plan["grams"] == {"low": 30, "high": 75}


def test_no_figure_is_keyed_that_nobody_published_or_practises(bank):
    _, _, plan = judged(bank, ("beaded_row",))
    assert plan["return_from"] is None and plan["return_until"] is None


def test_one_cause_that_refers_is_enough_and_nothing_more_need_be_known(bank):
    _, found, _ = judged(bank, ("tape_in", "clip_in"), live_lice=True, pustules=True)
    (entry,) = found
    assert set(entry.steps) == {"look_nape", "look_scalp"}


def test_a_client_both_to_refer_and_to_decline_is_not_drawn(bank):
    before = Profile({**defaults(bank), **PLAIN, "relaxed": True, "pustules": True})
    ruled = [judge(bank, "sewn_weft", before, before)]
    assert not one_answer(ruled)


@given(st.sampled_from(NAMES), SEEDS, st.sampled_from(LEVELS))
def test_nothing_hidden_shows_before_its_step(name, seed, level):
    item = generate(open_bank(), name, seed, level)
    steps = item.givens["steps"]
    entry_words = [entry["said"] for entry in item.key["findings"] if entry["found"]]
    for count in range(len(steps) + 1):
        shown = repr(chair(item, [step["id"] for step in steps[:count]]))
        for step in steps[count:]:
            assert step["finding"] not in shown or step["finding"] in repr(item.givens["card"])
        if count == 0:
            assert not any(said and said in shown for said in entry_words)


@given(st.sampled_from(NAMES), SEEDS, st.sampled_from(LEVELS))
def test_what_the_key_asks_for_settles_every_verdict(name, seed, level):
    """Whatever an attribute that no needed step shows might be, no verdict is graver."""
    bank, item = open_bank(), generate(open_bank(), name, seed, level)
    shown = {a for s in item.givens["steps"] if s["id"] in needed(item) for a in s["reveals"]}
    known = shown | set(item.givens["known"])
    test = item.givens["skin_test"]
    profile = dict(item.givens["profile"])
    if test["step"] in needed(item):
        profile |= {"skin_test_result": test["result"], "skin_test_hours": 48}
    hidden = [a for a in bank.attributes if a not in known and not a.startswith("skin_test")]
    for method, verdict in item.key["decision"].items():
        if verdict in ("refer", "decline"):
            continue
        for attribute in hidden:
            for value in values(bank.attributes[attribute]):
                other, _ = verdict_of(bank, method, Profile({**profile, attribute: value}))
                assert RANK[other] <= RANK[verdict], (method, attribute, value)


def values(attribute: Attribute):
    if attribute.kind == "flag":
        return (True, False)
    if attribute.kind == "choice":
        return attribute.values
    span = int(attribute.high - attribute.low)
    return [attribute.low + n for n in range(0, span, max(1, span // 20))]


@pytest.mark.parametrize("name", NAMES)
def test_the_second_checker_agrees_over_many_seeds(bank, name):
    for seed in range(1000, 1040):
        item = generate(bank, name, seed, LEVELS[seed % 3])
        assert resolve(bank, item) == sorted(right_texts(item))


def test_the_second_checker_sees_a_wrong_key(bank):
    item = generate(bank, "first_tapes_atopic.tape_in", 3)
    item.key["decision"]["tape_in"] = "adapt"
    assert resolve(bank, item) != sorted(right_texts(item))


def deciding(bank, profile: Mapping, methods) -> str:
    """What of a profile any rule about the methods asks, condition by condition."""
    told = {}
    for method in methods:
        for rule in bank.rules_of(method):
            for n, condition in enumerate(rule.when):
                if condition.attribute in profile:
                    one = Profile({condition.attribute: profile[condition.attribute]})
                    told[f"{rule.id}:{n}"] = holds(bank, condition, one)
    return json.dumps(told, sort_keys=True)


@pytest.mark.parametrize("model", MODELS)
def test_each_model_has_two_hundred_clients_that_differ_where_it_matters(bank, model):
    """Counted by which conditions of rules hold; names, words and idle figures do not count."""
    there = [one for one in families(bank, type="consultation") if one.recipe.id == model]
    seen = set()
    for seed in range(6000):
        one = there[seed % len(there)]
        draw = Draw(one.id, seed, "variety")
        case = Case(bank, bank.methods[one.method], one.recipe, draw, LEVELS[seed % 3])
        client = draw_client(case)
        if client is None:
            continue
        methods = (one.method, *one.recipe.settings["also"])
        held = {**client.profile.values, "skin_test_result": client.result}
        seen.add(deciding(bank, held, dict.fromkeys(methods)))
        if len(seen) >= 200:
            return
    assert len(seen) >= 200


def test_there_are_twelve_models_and_one_for_every_method(bank):
    assert len(MODELS) >= 12
    assert {one.method for one in families(bank, type="consultation")} == set(bank.methods)


def test_every_value_that_a_step_shows_can_be_said(bank):
    mute = [
        (step.id, name, value)
        for step in bank.consultation_steps.values()
        for name in step.reveals
        for value in values(bank.attributes[name])
        if step.shows(name, value)
        and not ways_for(bank, name, value, step.id)
        and not (is_calm(bank, name, value) and (step.calm or len(step.reveals) > 1))
    ]
    assert mute == []


def test_going_ahead_is_right_about_as_often_as_at_the_chair(bank):
    keys = [generate(bank, name, seed).key for name in NAMES for seed in range(4)]
    booked = [next(iter(key["decision"].values())) for key in keys]
    assert 0.2 <= booked.count("go_ahead") / len(booked) <= 0.45


def test_a_skin_test_moves_the_date(bank):
    item = generate(bank, "first_tapes_atopic.tape_in", 5)
    start = date.fromisoformat(item.givens["today"])
    assert chair(item, ["pull_test"]).today == start
    assert chair(item, ["skin_test", "pull_test"]).today == start + timedelta(days=2)
    assert family(bank, "first_tapes_atopic.tape_in").topic == "consultation"


def test_every_rule_can_be_said_to_the_client(bank):
    words = bank.wording["en/consulting"]
    assert set(bank.rules) <= set(words["because"])
    assert {rule.refer_to for rule in bank.rules.values()} - {None} <= set(words["whom"])
