"""Nobody decides about their own record, their own request, or work that they examined."""

import pytest

from trainer.core.records.independence import why_not


@pytest.mark.parametrize(
    ("decider", "said"),
    [("holder", "your own"), ("asker", "You asked"), ("boss", "You watched"), ("other", "")],
)
def test_who_may_decide(decider, said):
    found = why_not(decider, "holder", {"boss", "second"}, "asker")
    assert said in found and bool(found) is bool(said)
