"""Cells that a spreadsheet could take for a formula are harmless, and files read back the same.

Outside: the characters are those that OWASP's page "CSV Injection" lists (=, +, -, @, tab 0x09,
carriage return 0x0D, line feed 0x0A, and the full-width signs); lines and quotes as RFC 4180.
"""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.exchange.csv_cells import csv_text, harmless, plain

OWASP = ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"]
TEXTS = st.text(st.sampled_from("=+-@\t\r\n＝'\", a1;"), max_size=8)


@pytest.mark.parametrize("sign", OWASP)
def test_no_cell_begins_a_formula(sign):
    assert harmless(f"{sign}SUM(1)") == f"'{sign}SUM(1)"
    assert harmless(f"  {sign}SUM(1)") == f"'  {sign}SUM(1)"


@pytest.mark.parametrize("cell", ["Ada O'Neil", "", "a=b", "'tis", 7, -3.5, None])
def test_all_else_stays(cell):
    assert harmless(cell) == cell


@given(TEXTS)
def test_what_was_put_in_front_is_taken_back(text):
    assert plain(str(harmless(text))) == text
    assert not str(harmless(text)).lstrip().startswith(tuple(OWASP))


@given(st.lists(st.tuples(TEXTS, TEXTS), max_size=4))
def test_a_file_has_the_cells_and_no_others(rows):
    text = csv_text(["one", "two"], rows)
    read = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert read == [["one", "two"], *([harmless(a), harmless(b)] for a, b in rows)]


def test_lines_and_quotes_are_those_of_the_standard():
    assert csv_text(["a", "b"], [('x"y', "1,2"), (-3, None)]) == 'a,b\r\n"x""y","1,2"\r\n-3,\r\n'


def test_a_row_that_does_not_fit_is_refused():
    with pytest.raises(ValueError, match="cells"):
        csv_text(["a"], [("1", "2")])
