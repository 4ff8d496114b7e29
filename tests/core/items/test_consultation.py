"""Marking a consultation, part by part: what is free, what costs, what is unsafe."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.items.test_types import JSON
from tests.support.consulted import needed, right_answer, right_words
from trainer.core.items.codec import as_contract, from_kept
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.items.types.consultation_marks import expected, needless, parts_of
from trainer.core.problems import InputProblem
from trainer.core.scenarios.generate import generate
from trainer.use_cases.open_bank import open_bank

KIND = ITEM_TYPES["consultation"]


def drawn(fits, name="first_tapes_atopic.tape_in", seeds=400):
    """The first consultation of a family whose key fits."""
    items = (generate(open_bank(), name, seed, "advanced") for seed in range(seeds))
    return next(item for item in items if fits(item.key))


TAPES = drawn(lambda key: set(key["decision"].values()) == {"go_ahead"})
REACTED = drawn(
    lambda key: (
        list(key["decision"].values()) == ["refer", "go_ahead", "go_ahead"]
        and [e["attributes"] for e in key["findings"] if e["found"]] == [["adhesive_reaction"]]
    )
)
NOTHING = drawn(
    lambda key: key["plan"] is None and [len(e["steps"]) for e in key["findings"]] == [1],
    "fringe_hides_edge.tape_in",
)
ITEMS = (TAPES, REACTED, NOTHING)


def mark(item, **changed):
    return KIND.mark(item, KIND.accept(right_answer(item) | changed, item))


@pytest.mark.parametrize("item", ITEMS)
def test_the_right_answer_earns_everything(item):
    found = mark(item)
    assert (found.score, found.right, found.critical_error) == (1.0, True, False)
    assert found.wrong == () and found.misconceptions == ()


@pytest.mark.parametrize("item", ITEMS)
def test_the_key_itself_is_an_answer_that_earns_everything(item):
    row = as_contract(item)
    assert set(row["key"]) == {"findings", "decision", "plan"}
    again = from_kept(row)
    assert KIND.mark(again, KIND.accept(row["key"], again)).score == 1.0


def test_going_ahead_without_the_skin_test_is_a_critical_error():
    steps = [step for step in needed(TAPES) if step != "skin_test"]
    found = mark(TAPES, findings=steps)
    assert found.critical_error and not found.right
    assert "allergy.quick_dab" in found.misconceptions


def test_waiting_for_the_skin_test_is_no_error():
    steps = [step for step in needed(TAPES) if step != "skin_test"]
    assert expected(TAPES, steps)["tape_in"] == "wait"
    decision = TAPES.key["decision"] | {"tape_in": "wait"}
    found = mark(TAPES, findings=steps, decision=decision)
    assert not found.critical_error and found.right


def test_going_ahead_on_a_reaction_is_a_critical_error_and_names_the_belief():
    found = mark(REACTED, decision=REACTED.key["decision"] | {"tape_in": "go_ahead"})
    assert found.critical_error
    assert REACTED.misconceptions["tape_in:go_ahead"] in found.misconceptions


@pytest.mark.parametrize("verdict", ["wait", "decline"])
def test_another_no_is_half_right_and_safe(verdict):
    found = mark(REACTED, decision=REACTED.key["decision"] | {"tape_in": verdict})
    assert 0.8 < found.score < 1.0
    assert not found.critical_error


def test_saying_no_to_a_healthy_head_costs_and_names_the_belief():
    decision = dict.fromkeys(TAPES.key["decision"], "decline")
    found = mark(TAPES, decision=decision, plan=None)
    assert not found.right and not found.critical_error
    assert "consult.every_mark_is_a_no" in found.misconceptions


def test_fitting_before_the_test_is_over_is_unsafe():
    plan = right_answer(TAPES)["plan"] | {"earliest": TAPES.givens["today"]}
    assert mark(TAPES, plan=plan).critical_error


@pytest.mark.parametrize(("days", "share"), [(0, 1.0), (1, 0.875), (30, 0.75)])
def test_a_later_day_than_the_first_is_safe_but_costs(days, share):
    plan = right_answer(TAPES)["plan"]
    later = timedelta(days=days)
    plan |= {
        name: (date.fromisoformat(plan[name]) + later).isoformat()
        for name in ("earliest", "return_from", "return_until")
    }
    answer = KIND.accept(right_answer(TAPES) | {"plan": plan}, TAPES)
    assert parts_of(TAPES, answer).plan == pytest.approx(share)


def test_a_window_inside_the_right_one_is_right_and_one_that_ends_later_is_not():
    plan = right_answer(TAPES)["plan"]
    shorter = plan | {"return_until": plan["return_from"]}
    last = date.fromisoformat(plan["return_until"]) + timedelta(days=20)
    longer = plan | {"return_until": last.isoformat()}
    shares = [
        parts_of(TAPES, KIND.accept(right_answer(TAPES) | {"plan": one}, TAPES)).plan
        for one in (shorter, longer)
    ]
    assert shares == pytest.approx([1.0, 0.8])


def test_more_grams_than_were_asked_for_cost():
    plan = right_answer(TAPES)["plan"]
    heavier = plan | {"grams": plan["grams"] + 50}
    answer = KIND.accept(right_answer(TAPES) | {"plan": heavier}, TAPES)
    assert parts_of(TAPES, answer).plan == pytest.approx(0.85)


def test_a_plan_where_nothing_may_be_fitted_is_wrong():
    plan = {"method": "clip_in", "grams": 100, "earliest": NOTHING.givens["today"]}
    found = mark(NOTHING, plan=plan)
    assert found.score == pytest.approx(0.8)


def test_wrong_words_cost_a_tenth_and_name_their_belief():
    other = next(o.id for o in TAPES.options if o.id != right_words(TAPES))
    found = mark(TAPES, words=other)
    assert found.score == pytest.approx(0.9)
    assert found.misconceptions == (TAPES.misconceptions[other],)


def test_deciding_facts_missed_cost_most():
    deciding = {s for e in REACTED.key["findings"] if e["found"] for s in e["steps"]}
    without = [step for step in needed(REACTED) if step not in deciding]
    assert mark(REACTED, findings=without).score < 0.85
    assert mark(REACTED, findings=[]).score < mark(REACTED, findings=without).score


def test_steps_after_all_is_settled_are_needless_and_the_third_costs():
    every = [step["id"] for step in NOTHING.givens["steps"]]
    first = needed(NOTHING)
    rest = [step for step in every if step not in first]
    assert needless(NOTHING, first) == ()
    assert set(needless(NOTHING, [*first, *rest])) == set(rest)
    assert mark(NOTHING, findings=[*first, *rest[:2]]).score == 1.0
    assert mark(NOTHING, findings=[*first, *rest[:3]]).score == pytest.approx(0.98)
    assert mark(NOTHING, findings=[*first, *rest]).score == pytest.approx(0.9)


def test_steps_before_the_fact_is_found_are_no_waste():
    first = needed(NOTHING)
    before = [s for s in NOTHING.givens["bear"] if s not in first]
    assert needless(NOTHING, [*before, *first]) == ()


@given(sent=JSON)
def test_any_json_is_an_answer_or_a_named_problem(sent):
    for change in (sent, {"findings": [], "decision": sent, "plan": sent}):
        try:
            KIND.accept(change, TAPES)
        except InputProblem as problem:
            assert problem.where and problem.remedy


@given(
    steps=st.lists(st.sampled_from([s["id"] for s in TAPES.givens["steps"]]), unique=True),
    verdicts=st.tuples(*[st.sampled_from(["go_ahead", "adapt", "wait", "refer", "decline"])] * 3),
    planned=st.booleans(),
)
def test_whatever_is_answered_the_score_is_a_share_and_unsafe_is_never_right(
    steps, verdicts, planned
):
    methods = TAPES.givens["methods"]
    plan = right_answer(TAPES)["plan"] if planned else None
    found = mark(
        TAPES, findings=steps, decision=dict(zip(methods, verdicts, strict=True)), plan=plan
    )
    assert 0 <= found.score <= 1
    assert not (found.critical_error and found.right)
    unsafe = verdicts[0] in ("go_ahead", "adapt") and "skin_test" not in steps
    assert found.critical_error or not unsafe


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"findings": ["read_minds"]}, "findings"),
        ({"decision": {}}, "Tape-in"),
        ({"plan": {"method": "glue"}}, "plan"),
        ({"plan": {"method": "tape_in", "earliest": "soon", "grams": 80}}, "earliest day"),
        ({"plan": {"method": "tape_in", "earliest": "2026-03-05", "grams": -1}}, "grams"),
        ({"words": "z"}, "words"),
    ],
)
def test_what_is_no_answer_is_named(change, where):
    with pytest.raises(InputProblem) as problem:
        KIND.accept(right_answer(TAPES) | change, TAPES)
    assert problem.value.where == where


def test_a_question_due_to_every_client_is_no_waste():
    assert needless(TAPES, ["ask_allergies"]) == ()


def test_luck_is_not_enough():
    steps = [step for step in needed(TAPES) if step != "look_scalp"]
    found = mark(TAPES, findings=steps)
    assert found.score == 0.8
    assert not found.right and not found.critical_error
    assert "consult.card_is_for_the_file" in found.misconceptions
