"""No number about hair stands in Python: the rooms that reason read their figures from facts."""

from tests.house_rules.reading import ROOT, figures, tracked

ROOMS = ("trainer/core/advice/", "trainer/core/scenarios/reasoning/")


def test_no_figure_stands_where_hair_is_reasoned_about():
    found = {
        name: figures(path.read_text())
        for path in tracked(".py")
        if (name := str(path.relative_to(ROOT))).startswith(ROOMS)
    }
    assert {name: lines for name, lines in found.items() if lines} == {}


def test_the_rule_sees_a_figure():
    assert figures("wear_weeks = 8\nhalf = 0.5\n") == [(1, 8)]
    assert figures("ok = True\nnone = [0, 1, 2, -1, 100]\n") == []
