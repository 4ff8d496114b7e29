"""A drawing stands on the question's page and on the answer's, in practice and assessment."""

import re

import pytest

from tests.support.people import a_person
from tests.support.shown import shown
from trainer.core.items.registry import type_of

FAMILIES = (
    "fault_in_section.micro_link",
    "fault_on_head_map.sewn_weft",
    "safe_one_of_four.tape_in",
    "read_distance.fusion_bond",
    "signs_drawn.wig_piece",
)


@pytest.fixture
def someone(sqlite_work):
    return a_person(sqlite_work)


def response(item, right):
    if item.heading.type == "number":
        return {"value": [str(item.key["value"] + (0 if right else 90))]}
    wrong = next(option.id for option in item.options if option.id not in item.key)
    return {"choice": item.key if right else [wrong]}


@pytest.mark.parametrize("right", [True, False])
@pytest.mark.parametrize("name", FAMILIES)
def test_the_drawing_is_shown_before_and_after(visit, sqlite_work, someone, name, right):
    address, item = shown(sqlite_work, someone, name)
    page = visit(someone)
    html = page.get(address)
    assert item.figure["svg"] in html
    assert html.count("figures.css") == 1 and html.count("figures.js") == 1
    assert "data-right" not in html
    for line in item.figure["alt"].split("\n"):
        assert line.replace("'", "&#39;") in html
    after = page.post(address, response(item, right))
    assert item.figure["svg"] in after and "figures.css" in after
    marked = re.findall(r'data-right="([^"]*)"', after)
    regions = item.figure["regions"]
    letters = " ".join(key.upper() for key in item.key) if regions else ""
    assert marked == ([letters] if letters else [])


def test_a_question_without_a_drawing_loads_nothing_for_one(visit, sqlite_work, someone):
    address, item = shown(sqlite_work, someone, "unsafe_removal.tape_in")
    assert item.figure is None
    html = visit(someone).get(address)
    assert "figures." not in html and 'class="figure' not in html


def test_every_letter_can_be_chosen_without_script(visit, sqlite_work, someone):
    address, item = shown(sqlite_work, someone, "fault_in_section.tape_in")
    html = visit(someone).get(address)
    for option in item.options:
        assert re.search(
            rf'<label class="tick"><input type="radio" name="choice" value="{option.id}"', html
        )
    assert type_of(item).read({"choice": item.key}, item) == item.key


def test_nothing_chosen_and_unknown_letters_come_back_with_the_drawing(visit, sqlite_work, someone):
    address, item = shown(sqlite_work, someone, "fault_in_section.tape_in")
    page = visit(someone)
    for sent in ({}, {"choice": ["Z"]}):
        answer = page.client.post(address, data=sent)
        html = answer.get_data(as_text=True)
        assert answer.status_code == 400
        assert item.figure["svg"] in html and 'role="alert"' in html
