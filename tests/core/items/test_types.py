"""Every type: what it accepts, what it marks right, and that nothing sent can crash it."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.draw import Draw
from trainer.core.items.codec import as_contract, as_kept, from_kept
from trainer.core.items.item import Answer, Draft, Heading, Item, Offer
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.problems import InputProblem

STEPS = ("t0", "t1", "t2", "t3", "t4")
PAIRS = (("t0", "t1"), ("t1", "t3"), ("t0", "t3"), ("t2", "t3"))
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=3),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=2), inner),
    max_leaves=6,
)


def item(kind: str, critical: bool = True, **given) -> Item:
    heading = Heading("f.m:1", "f.m", "m", "fit", "timings", kind, "working", "v")
    draft = Draft("A stem of six words here?", "Why.", {}, ("a.fact",), critical, {}, **given)
    return ITEM_TYPES[kind].compose(heading, draft, Draw("here"))


def offers(right: int, wrong: int) -> tuple[Offer, ...]:
    return tuple(
        Offer(f"text {n}", n < right, f"t{n}", "" if n < right else f"m.{n}", f"note {n}")
        for n in range(right + wrong)
    )


ONE = item("choose_one", offers=offers(1, 3))
ALL = item("choose_all", offers=offers(2, 3))
ORDER = item(
    "put_in_order",
    offers=(*(Offer(tag, True, tag, "m.o") for tag in STEPS), Offer("never", False, "x", "m.x")),
    pairs=PAIRS,
)
NUMBER = item(
    "number", answer=Answer(value=1400, unit="hairs", tolerance=70, slips={"3500": "m.whole"})
)
DAY = item("date", answer=Answer(first="2026-03-24", slips={"2026-03-20": "m.early"}))
SPAN = item("date", answer=Answer(first="2026-03-24", last="2026-03-28"))
EVERY = (ONE, ALL, ORDER, NUMBER, DAY, SPAN)
TAG = {option.text: option.id for option in ORDER.options}


@pytest.mark.parametrize("one", EVERY, ids=lambda one: one.heading.type)
@given(sent=JSON)
def test_any_json_is_an_answer_or_a_named_problem(one: Item, sent):
    kind = ITEM_TYPES[one.heading.type]
    try:
        mark = kind.mark(one, kind.accept(sent, one))
    except InputProblem as problem:
        assert problem.where and problem.remedy
    else:
        assert 0 <= mark.score <= 1


@pytest.mark.parametrize("one", EVERY, ids=lambda one: one.heading.type)
@given(sent=st.text(max_size=6))
def test_any_form_is_an_answer_or_a_named_problem(one: Item, sent):
    names = ["choice", "value", "date", *(f"place_{option.id}" for option in one.options)]
    try:
        ITEM_TYPES[one.heading.type].read({name: [sent] for name in names}, one)
    except InputProblem as problem:
        assert problem.where and problem.remedy


@pytest.mark.parametrize("one", EVERY, ids=lambda one: one.heading.type)
def test_kept_and_read_back_is_the_same(one: Item):
    assert from_kept(as_kept(one)) == one
    assert set(as_kept(one)) >= set(as_contract(one))


@given(st.permutations(STEPS))
def test_an_order_is_right_just_when_every_pair_is_kept(order):
    kept = all(order.index(a) < order.index(b) for a, b in PAIRS)
    mark = ITEM_TYPES["put_in_order"].mark(ORDER, [TAG[step] for step in order])
    assert (mark.score == 1) is kept
    assert mark.critical_error is not kept


@given(st.permutations(STEPS), st.integers(0, 5))
def test_a_forbidden_step_is_wrong_anywhere(order, place):
    said = [TAG[step] for step in order]
    said.insert(place, TAG["never"])
    mark = ITEM_TYPES["put_in_order"].mark(ORDER, said)
    assert (mark.score, mark.critical_error) == (0, True)
    assert "m.x" in mark.misconceptions


@given(st.sets(st.sampled_from([option.id for option in ALL.options])))
def test_each_option_is_judged_by_itself(ticked):
    mark = ITEM_TYPES["choose_all"].mark(ALL, sorted(ticked))
    wrong = ticked ^ set(ALL.key)
    assert mark.score == pytest.approx(1 - len(wrong) / len(ALL.options))
    assert mark.critical_error is bool(set(ALL.key) - ticked)


@pytest.mark.parametrize("option", [option.id for option in ONE.options])
def test_one_option_is_right(option):
    mark = ITEM_TYPES["choose_one"].mark(ONE, [option])
    assert (mark.score == 1) is (option in ONE.key)
    assert bool(mark.misconceptions) is (option not in ONE.key)


@given(st.floats(0, 5000))
def test_a_number_is_right_within_its_tolerance(value):
    mark = ITEM_TYPES["number"].mark(NUMBER, value)
    assert (mark.score == 1) is (abs(value - 1400) <= 70 + 1e-6)


@pytest.mark.parametrize(
    ("said", "means"),
    [("1,400", 1400), ("1 400", 1400), ("1400", 1400), ("2,5", 2.5), ("0,125", 0.125)]
    + [("12,400.5", 12400.5), ("1,234,567", 1234567), ("-3", -3), ("1,40", 1.4)],
)
def test_numbers_as_people_write_them(said, means):
    assert ITEM_TYPES["number"].read({"value": [said]}, NUMBER) == means


@given(st.dates(date(2026, 3, 1), date(2026, 4, 30)))
def test_a_day_is_right_inside_the_window(day):
    mark = ITEM_TYPES["date"].mark(SPAN, day.isoformat())
    assert (mark.score == 1) is (date(2026, 3, 24) <= day <= date(2026, 3, 28))


def test_a_slip_names_the_belief_behind_it():
    assert ITEM_TYPES["date"].mark(DAY, "2026-03-20").misconceptions == ("m.early",)
    assert ITEM_TYPES["number"].mark(NUMBER, 3510).misconceptions == ("m.whole",)
