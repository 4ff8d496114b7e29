"""Every condition before an assessment, and how it stands."""

from dataclasses import replace
from datetime import UTC, datetime

from trainer.core.records.eligibility import (
    Course,
    Known,
    all_met,
    conditions,
    conditions_to_renew,
)

LATER = datetime(2026, 3, 10, tzinfo=UTC)
READY = Known(True, (), 20, 20, None, ())


def of(known, what):
    (found,) = [one for one in conditions(known) if one.what == what]
    return found


def test_all_is_met_and_each_can_be_missing():
    assert all_met(conditions(READY))
    for change, what in (
        ({"agreed": False}, "agreement"),
        ({"practised": 19}, "practice"),
        ({"from_when": LATER}, "waiting"),
        ({"unmet": ("timings: 1 of 4",)}, "questions"),
    ):
        found = conditions(replace(READY, **change))
        assert [one.what for one in found if not one.met] == [what]
        assert not all_met(found)


def test_a_module_that_is_set_before_it_must_be_done_however_much_was_practised():
    half, done = Course("Removal", 5, 20), Course("Timings", 12, 10)
    found = of(replace(READY, courses=(half, done), practised=400), "practice")
    assert (found.met, found.done, found.of, found.titles) == (False, 5, 20, ("Removal",))
    found = of(replace(READY, courses=(done,), practised=0), "practice")
    assert (found.met, found.done, found.of) == (True, 10, 10)


def test_without_a_module_practice_counts_up_to_what_is_asked():
    assert (of(replace(READY, practised=7), "practice").done, of(READY, "practice").of) == (7, 20)
    assert of(replace(READY, practised=90), "practice").done == 20


def test_to_renew_takes_a_record_and_the_agreement():
    assert all_met(conditions_to_renew(True, ""))
    first, second = conditions_to_renew(False, "there is no record")
    assert (first.met, first.words, second.met) == (False, "there is no record", False)
