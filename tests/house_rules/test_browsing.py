"""A journey waits for the whole page: nothing is pressed but by `press` and `enter`."""

import re
from pathlib import PurePath

from tests.house_rules.reading import ROOT, tracked

PRESSING = re.compile(r"\.(click|dblclick)\(")
PLACE = PurePath("tests/support/site.py")


def pressed(source):
    """Lines that press something and go on before the next page is whole."""
    return [number for number, line in enumerate(source.splitlines(), 1) if PRESSING.search(line)]


def test_no_journey_reads_a_page_before_it_is_whole():
    found = {
        path.relative_to(ROOT).as_posix(): lines
        for path in tracked(".py")
        if ROOT / "tests" in path.parents and path != ROOT / PLACE
        if (lines := pressed(path.read_text()))
    }
    assert found == {}


def test_one_that_would_is_found():
    assert pressed('go()\npage.get_by_role("button").' + "click()") == [2]
