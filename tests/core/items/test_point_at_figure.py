"""Pointing: letters, places in the drawing, the form's fields, and nothing else."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.draw import Draw
from trainer.core.items.codec import as_contract, as_kept, from_kept
from trainer.core.items.item import Draft, Heading, Offer
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.problems import InputProblem

KIND = ITEM_TYPES["point_at_figure"]
FIGURE = {
    "svg": "<svg/>",
    "alt": "Three parts.\nA: left.\nB: middle.\nC: right.",
    "regions": [
        {"id": "A", "label": "part A", "boxes": [[0, 0, 10, 10]]},
        {"id": "B", "label": "part B", "boxes": [[12, 0, 4, 10], [16, 2, 4, 4]]},
        {"id": "C", "label": "part C", "boxes": [[22, 0, 10, 10]]},
    ],
}
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=3),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from("xyz"), inner),
    max_leaves=6,
)


def offer(letter):
    right = letter == "B"
    return Offer(f"part {letter}", right, letter, "" if right else f"m.{letter}", f"note {letter}")


def item(**changed):
    heading = Heading("f.m:1", "f.m", "m", "fit", "tension_risk", KIND.name, "working", "v")
    draft = Draft("A stem of six words here?", "Why.", {}, ("a.fact",), True, {})
    draft = replace(draft, offers=tuple(map(offer, "ABC")), figure=FIGURE)
    return KIND.compose(heading, replace(draft, **changed), Draw("here"))


ITEM = item()


def test_parts_keep_the_drawing_s_order_and_letters():
    assert [option.id for option in ITEM.options] == ["A", "B", "C"]
    assert ITEM.key == ["B"]
    assert KIND.faults(ITEM) == []
    assert KIND.chance(ITEM) == pytest.approx(1 / 3)
    assert KIND.say_key(ITEM) == ["part B"] == KIND.say_response(ITEM, ["B"])


def test_the_drawing_is_printed_and_kept():
    row = as_contract(ITEM)
    assert set(row["figure"]) == {"svg", "alt", "regions"}
    assert row["type"] == "point_at_figure" and row["key"] == ["B"]
    assert from_kept(as_kept(ITEM)) == ITEM


@given(st.floats(-5, 40), st.floats(-5, 15))
def test_a_point_counts_for_the_part_that_holds_it(x, y):
    inside = [
        region["id"]
        for region in FIGURE["regions"]
        if any(a <= x <= a + w and b <= y <= b + h for a, b, w, h in region["boxes"])
    ]
    try:
        said = KIND.accept({"x": x, "y": y}, ITEM)
    except InputProblem as problem:
        assert inside == [] and problem.where == "x, y"
    else:
        assert said == inside
        assert KIND.mark(ITEM, said).score == (1.0 if inside == ["B"] else 0.0)


@pytest.mark.parametrize(
    "said",
    [
        *({"x": 1}, {"x": 1, "y": "2"}, {"x": 1, "y": float("nan")}, {"x": True, "y": 1}, {}),
        *({"x": 10**400, "y": 1}, {"x": 1, "y": 1, "z": 1}, {"x": 11, "y": 5}, [], ["D"], "B"),
        *(["A", "B"], ["B", "B"], [["B"]], [None], 1, None),
    ],
)
def test_what_is_no_part_is_refused(said):
    with pytest.raises(InputProblem) as found:
        KIND.accept(said, ITEM)
    assert found.value.remedy and found.value.where in ("choice", "x, y")


@given(JSON)
def test_any_json_is_an_answer_or_a_named_problem(said):
    try:
        mark = KIND.mark(ITEM, KIND.accept(said, ITEM))
    except InputProblem as problem:
        assert problem.where and problem.remedy
    else:
        assert mark.score in (0.0, 1.0)


def test_the_form_sends_a_letter_or_a_place():
    assert KIND.read({"choice": ["C"]}, ITEM) == ["C"]
    assert KIND.read({"x": ["13"], "y": ["4.5"]}, ITEM) == ["B"]
    for sent in ({}, {"choice": ["Z"]}, {"x": ["a"], "y": ["1"]}, {"x": ["1"]}, {"x": [], "y": []}):
        with pytest.raises(InputProblem):
            KIND.read(sent, ITEM)


def test_a_wrong_part_names_the_belief_and_is_critical_where_the_item_is():
    mark = KIND.mark(ITEM, ["A"])
    assert (mark.score, mark.critical_error, mark.misconceptions, mark.wrong) == (
        *(0.0, True, ("m.A",), ("A",)),
    )
    assert KIND.mark(replace(ITEM, critical=False), ["A"]).critical_error is False
    assert KIND.mark(ITEM, ["B"]).misconceptions == ()


def test_unfit_items_are_found_out():
    with pytest.raises(ValueError, match="nothing to point at"):
        item(figure=None)
    assert "not those" in KIND.faults(replace(ITEM, figure=FIGURE | {"regions": []}))[0]
    assert "all or none" in KIND.faults(replace(ITEM, key=[]))[0]
    bare = replace(ITEM, misconceptions={"A": "m.A"})
    assert KIND.faults(bare) == ["wrong parts without a belief behind them: C"]
    two = item(offers=tuple(map(offer, "AB")))
    assert any("only 2 parts" in one for one in KIND.faults(two))


def test_a_drawing_s_letters_keep_the_order_of_answers_elsewhere_too():
    one = ITEM_TYPES["choose_one"]
    heading = replace(ITEM.heading, type="choose_one")
    offers = tuple(replace(offer(letter), text=f"Drawing {letter}") for letter in "ABC")
    draft = Draft("A stem of six words here?", "Why.", {}, (), False, {}, offers=offers)
    for seed in range(12):
        made = one.compose(heading, replace(draft, figure=FIGURE, in_order=True), Draw(seed))
        assert [o.text for o in made.options] == ["Drawing A", "Drawing B", "Drawing C"]
        assert made.figure == FIGURE and made.key == ["b"]
    mixed = {one.compose(heading, draft, Draw(seed)).key[0] for seed in range(12)}
    assert len(mixed) > 1
