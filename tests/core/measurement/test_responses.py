"""Tables of responses: read as they are, or refused by file, row and column."""

import numpy as np
import pytest

from trainer.core.measurement.responses import read_groups, read_responses
from trainer.core.problems import InputProblem

GOOD = "\ufeffperson,q1,q2\na,1,0\n\nb,, 1\n"


def test_a_table_is_read_with_its_gaps():
    table = read_responses(GOOD, "r.csv")
    assert (table.people, table.items) == (("a", "b"), ("q1", "q2"))
    assert np.array_equal(table.marks, [[1, 0], [np.nan, 1]], equal_nan=True)
    assert table.complete().people == ("a",)


@pytest.mark.parametrize(
    ("text", "where", "what"),
    [
        ("", "r.csv, row 1", "person"),
        ("who,q1\na,1\n", "r.csv, row 1", "person"),
        ("person\na\n", "r.csv, row 1", "no items"),
        ("person,q1,q1\n", "r.csv, row 1, column 3", "second time"),
        ("person,q1,\n", "r.csv, row 1, column 3", "no name"),
        ("person,q1\n", "r.csv", "no people"),
        ("person,q1,q2\na,1\n", "r.csv, row 2", "2 cells"),
        ("person,q1,q2\na,1,1\nb,1,2\n", "r.csv, row 3, column q2", "is '2'"),
        ("person,q1\na,1\nb,0\na,1\n", "r.csv, row 4, column person", "second time"),
        ("person,q1\n ,1\n", "r.csv, row 2, column person", "nobody"),
    ],
)
def test_what_is_wrong_is_named_by_row_and_column(text, where, what):
    with pytest.raises(InputProblem) as caught:
        read_responses(text, "r.csv")
    assert caught.value.where == where
    assert what in caught.value.what


def test_groups_are_put_beside_the_people():
    names, of_each = read_groups("person,group\nb,x\na,y\nz,x\n", "g.csv", ["a", "b"])
    assert (names, of_each) == (("x", "y"), ["y", "x"])


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("who,group\n", "g.csv, row 1"),
        ("person,group\na\n", "g.csv, row 2"),
        ("person,group\na,x\na,y\n", "g.csv, row 3, column person"),
        ("person,group\na,x\n", "g.csv, column person"),
        ("person,group\na,x\nb,x\n", "g.csv, column group"),
    ],
)
def test_groups_that_do_not_fit_are_named(text, where):
    with pytest.raises(InputProblem) as caught:
        read_groups(text, "g.csv", ["a", "b"])
    assert caught.value.where == where
