"""Who answered everything, and who belongs to which group: read, or refused by line and column."""

import pytest

from trainer.core.measurement.analysis.groups import complete_rows, read_groups
from trainer.core.measurement.calibration.table import read_table
from trainer.core.problems import InputProblem


def test_only_complete_rows_count():
    people, marks = complete_rows(read_table("person,q1,q2\na,1,0\nb,,1\nc,0,1\n", "r.csv"))
    assert people == ("a", "c")
    assert marks.tolist() == [[1.0, 0.0], [0.0, 1.0]]


def test_groups_are_put_beside_the_people():
    names, of_each = read_groups("person,group\nb,x\n\na,y\nz,x\n", "g.csv", ["a", "b"])
    assert (names, of_each) == (("x", "y"), ["y", "x"])


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("", "g.csv, line 1"),
        ("who,group\n", "g.csv, line 1"),
        ("person,group\na\n", "g.csv, line 2"),
        ("person,group\na,\n", "g.csv, line 2"),
        ("person,group\na,x\na,y\n", "g.csv, line 3, column person"),
        ("person,group\na,x\n", "g.csv, column person"),
        ("person,group\na,x\nb,x\n", "g.csv, column group"),
    ],
)
def test_groups_that_do_not_fit_are_named(text, where):
    with pytest.raises(InputProblem) as caught:
        read_groups(text, "g.csv", ["a", "b"])
    assert caught.value.where == where
