"""Clearance: every standing has its answer, a reason, and what would change it."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.records.clearance import Question, clear
from trainer.core.records.standing import Progress, Standing

ASKED = Question("Noor Haddad", "tape-in", "fit", date(2026, 6, 1))
NOTHING = Progress(started=False, passed_on=None, observed=frozenset())
PASSED = replace(NOTHING, started=True, passed_on=date(2026, 5, 1))
GRACE = 30


def answer(standing, progress=NOTHING, asked=ASKED):
    return clear(asked, standing, progress, GRACE)


@pytest.mark.parametrize(
    ("standing", "progress", "service", "expected"),
    [
        (Standing("competent", date(2026, 12, 31), "r1"), NOTHING, "fit", "cleared"),
        (Standing("suspended", date(2026, 5, 1), "r1"), PASSED, "consult", "not_cleared"),
        (Standing("withdrawn", date(2026, 5, 1), "r1"), PASSED, "fit", "not_cleared"),
        (Standing("expired", date(2026, 5, 2), "r1"), NOTHING, "fit", "supervised_only"),
        (Standing("expired", date(2026, 5, 1), "r1"), NOTHING, "fit", "not_cleared"),
        (Standing("expired", date(2025, 5, 1), "r1"), PASSED, "fit", "supervised_only"),
        (Standing("expired", date(2025, 5, 1), "r1"), PASSED, "consult", "cleared"),
        (Standing("working_towards"), PASSED, "fit", "supervised_only"),
        (Standing("working_towards"), PASSED, "aftercare", "cleared"),
        (Standing("working_towards"), replace(NOTHING, started=True), "consult", "not_cleared"),
        (Standing("not_started"), NOTHING, "fit", "not_cleared"),
    ],
)
def test_the_answer_for_a_standing(standing, progress, service, expected):
    found = answer(standing, progress, replace(ASKED, service=service))
    assert found.answer == expected, found


def test_it_names_what_is_still_to_be_observed():
    progress = replace(PASSED, observed=frozenset({"fit"}))
    assert answer(Standing("working_towards"), progress).would_change_it == (
        "Still to be observed: maintain, remove."
    )


def test_an_assessment_passed_later_does_not_count_on_the_day():
    later = replace(PASSED, passed_on=date(2026, 6, 2))
    assert answer(Standing("working_towards"), later).answer == "not_cleared"


def test_a_grace_below_nought_is_refused():
    with pytest.raises(ValueError, match="grace"):
        clear(ASKED, Standing("not_started"), NOTHING, -1)


WORDS = ["not_started", "working_towards", "competent", "expired", "suspended", "withdrawn"]


@given(
    st.sampled_from(WORDS),
    st.sampled_from([NOTHING, PASSED]),
    st.sampled_from(["consult", "fit", "maintain", "remove", "aftercare"]),
)
def test_no_answer_goes_out_bare(word, progress, service):
    found = answer(Standing(word, date(2026, 5, 20)), progress, replace(ASKED, service=service))
    assert found.reason and found.would_change_it
    assert "Consultation and patch test still come first" in found.reminder
    assert found.answer == "not_cleared" or word not in ("suspended", "withdrawn")
