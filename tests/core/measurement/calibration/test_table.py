"""Tables of responses and parameters: what is read, and how wrong input is named."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.measurement.calibration.parameters import read_parameters
from trainer.core.measurement.calibration.table import read_table
from trainer.core.problems import InputProblem

WRONG = [
    ("", "t.csv, line 1: is no heading"),
    ("people,a\np,1\n", "t.csv, line 1: is no heading"),
    ("person\np\n", "t.csv, line 1: is no heading"),
    ("person,a,a\np,1,1\n", "t.csv, line 1, column 3: comes twice: a"),
    ("person,a,\np,1,1\n", "t.csv, line 1, column 3: has no name"),
    ("person,a,b\n", "t.csv: has no rows"),
    ("person,a,b\np,1,1\nq,1\n", "t.csv, line 3: has 2 cells where the heading has 3"),
    ("person,a,b\np,1,1\nq,0,2\n", "t.csv, line 3, column b: is '2'"),
    ("person,a,b\np,1,1\n\nq,yes,1\n", "t.csv, line 4, column a: is 'yes'"),
    ("person,a,b\np,1,1\np,0,1\n", "t.csv, line 3, column person: comes twice: p"),
    ("person,a,b\n,0,1\n", "t.csv, line 2, column person: is empty"),
    ('person,a,b\n"p\n', "t.csv, line 2"),
]


@pytest.mark.parametrize(("text", "words"), WRONG)
def test_what_is_wrong_is_named(text, words):
    with pytest.raises(InputProblem) as problem:
        read_table(text, "t.csv")
    assert str(problem.value).startswith(words)


@given(st.lists(st.lists(st.sampled_from([1, 0, -1]), min_size=3, max_size=3), min_size=1))
def test_what_was_written_is_read(rows):
    words = {1: "1", 0: "0", -1: ""}
    lines = [f"p{n}," + ",".join(words[mark] for mark in row) for n, row in enumerate(rows)]
    found = read_table("\ufeffperson,a,b,c\r\n" + "\r\n".join(lines) + "\r\n", "t.csv")
    assert found.marks.tolist() == rows
    assert found.items == ("a", "b", "c") and len(found.people) == len(rows)


def item(**more):
    return {"items": [{"item": "x", "a": 1.0, "b": 0.0, **more}]}


@pytest.mark.parametrize(
    ("document", "words"),
    [
        ({}, "p.json: holds no items"),
        ({"items": []}, "p.json: holds no items"),
        ({"items": [{"a": 1}]}, "p.json, item 1, `item`"),
        ({"items": [*item()["items"], *item()["items"]]}, "p.json, item 2, `item`"),
        (item(a="1"), "p.json, item x, `a`: is no number"),
        (item(b=None), "p.json, item x, `b`: is no number"),
        (item(a=True), "p.json, item x, `a`: is no number"),
        (item(a=-0.5), "p.json, item x, `a`: is -0.5, not above 0"),
        (item(guessing=1.0), "p.json, item x, `guessing`: is 1.0"),
    ],
)
def test_wrong_parameters_are_named(document, words):
    with pytest.raises(InputProblem) as problem:
        read_parameters(json.loads(json.dumps(document)), "p.json")
    assert str(problem.value).startswith(words)


def test_guessing_stands_for_all_or_for_one():
    assert read_parameters(item() | {"guessing": 0.2}, "p.json")["x"].floor == 0.2
    assert read_parameters(item(guessing=0.1) | {"guessing": 0.2}, "p.json")["x"].floor == 0.1
    assert read_parameters(item()["items"], "p.json")["x"].floor == 0
