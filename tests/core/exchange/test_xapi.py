"""Statements against our schema of the standard, and that schema against the open suite's cases.

The cases (adlnet/lrs-conformance-test-suite, MIT) are not copied here: TRAINER_XAPI_CASES names
the file, or it stands beside the project.
"""

import json
import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.support.statements_judge import faults, faults_of_all
from trainer.core.exchange.xapi import (
    INTERACTIONS,
    Answered,
    Home,
    Sat,
    Watched,
    answered,
    decided,
    sat,
    voided,
    watched,
    write_duration,
    write_response,
)
from trainer.core.items.registry import ITEM_TYPES

AT = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)
HOME = Home("https://quayside.example", "0" * 31 + "1")
SITTING = UUID(int=7, version=4).hex
ANSWER = Answered(
    "a1",
    "p1",
    "tape_in",
    "timings",
    "return_window.tape_in",
    "date",
    "2026-04-01",
    1,
    True,
    False,
    AT,
)
SAT = Sat(SITTING, "p1", "tape_in", AT, AT + timedelta(minutes=31), 35, 40, 31, True)
WORK = Watched("w1", "p1", "o1", "tape_in", "fit", AT)


def test_every_statement_is_what_the_standard_asks_for():
    said = [answered(HOME, ANSWER), *sat(HOME, SAT), decided(HOME, SAT, 1), watched(HOME, WORK)]
    said.append(voided(HOME, said[0]["id"], AT))
    assert faults_of_all(said) == []
    verbs = [one["verb"]["id"].rsplit("/", 1)[1] for one in said]
    assert verbs == [
        "answered", "initialized", "completed", "terminated", "passed", "passed", "voided",
    ]  # fmt: skip
    assert said[-2]["context"]["instructor"]["account"]["name"] == "o1"
    assert said[1]["context"]["registration"] == str(UUID(SITTING))
    assert said[4]["result"]["score"] == {"scaled": 0.875, "raw": 35, "min": 0, "max": 40}
    assert said[2]["result"] == {"completion": True, "duration": "PT1860S"}


def test_persons_are_accounts_and_nothing_tells_who_they_are():
    text = json.dumps([answered(HOME, ANSWER), *sat(HOME, SAT), watched(HOME, WORK)])
    assert "mbox" not in text and "@" not in text
    actor = answered(HOME, ANSWER)["actor"]
    assert actor["account"] == {"homePage": "https://quayside.example", "name": "p1"}
    assert set(actor) == {"objectType", "account"}


def test_a_question_s_words_and_key_stay_here():
    definition = answered(HOME, ANSWER)["object"]["definition"]
    assert set(definition) == {"type", "interactionType"}


def test_the_same_event_is_the_same_statement_and_another_outcome_another():
    assert answered(HOME, ANSWER) == answered(HOME, ANSWER)
    first, again = decided(HOME, SAT, 1), decided(HOME, replace(SAT, score=36), 1)
    assert first["id"] != again["id"]
    assert decided(HOME, replace(SAT, passed=False), 2)["verb"]["id"].endswith("failed")
    later = AT + timedelta(days=1)
    assert voided(HOME, first["id"], AT)["id"] == voided(HOME, first["id"], later)["id"]
    assert UUID(first["id"]).version == 5


def test_without_a_point_to_reach_there_is_no_score():
    said = decided(HOME, replace(SAT, score=0, most=0, cut=0), 1)
    assert "score" not in said["result"] and faults(said) == []


@pytest.mark.parametrize(
    ("kind", "response", "text"),
    [
        ("choose_one", ["b"], "b"),
        ("choose_all", ["a", "c"], "a[,]c"),
        ("put_in_order", ["s3", "s1"], "s3[,]s1"),
        ("number", 4.5, "4.5"),
        ("number", 120, "120"),
        ("date", "2026-04-01", "2026-04-01"),
        (
            "consultation",
            {"findings": ["scalp", "history"], "decision": {"tape_in": "wait"}, "plan": None},
            "findings[.]scalp history[,]decision[.]tape_in:wait[,]plan[.]none",
        ),
    ],
)
def test_a_response_is_written_as_its_interaction_type_has_it(kind, response, text):
    assert write_response(kind, response) == text
    assert faults(answered(HOME, replace(ANSWER, type=kind, response=response))) == []


def test_every_item_type_has_its_interaction_type():
    assert set(INTERACTIONS) == set(ITEM_TYPES)


@given(
    st.floats(0, 1),
    st.integers(0, 60),
    st.integers(0, 60),
    st.floats(0, 10**6),
    st.booleans(),
)
def test_whatever_the_figures_the_statement_holds(scaled, score, most, seconds, passed):
    ended = AT + timedelta(seconds=seconds)
    one = replace(SAT, score=min(score, most), most=most, finished_at=ended, passed=passed)
    marked = replace(ANSWER, score=scaled, response=None, critical_error=passed)
    assert faults_of_all([answered(HOME, marked), *sat(HOME, one), decided(HOME, one, 1)]) == []


def test_a_length_of_time():
    assert [write_duration(one) for one in (0, 0.254, 60, 5400.5)] == [
        "PT0S", "PT0.25S", "PT60S", "PT5400.5S",
    ]  # fmt: skip
    with pytest.raises(ValueError, match="-1"):
        write_duration(-1)


def test_the_judge_finds_what_is_wrong():
    good = decided(HOME, SAT, 1)
    assert faults({**good, "actor": {"mbox": "mailto:a@example.org", **good["actor"]}})
    assert faults({**good, "result": {"score": {"raw": 9, "min": 0, "max": 5}}})
    assert faults({**good, "result": {"score": {"min": 5, "max": 5}}})
    assert faults({**good, "mood": "good"})
    assert faults_of_all([good, good])
    assert faults_of_all([voided(HOME, good["id"], AT), good])


BESIDE = Path(__file__).parents[4] / "shared/reference/standards/xapi/statements.jsonl"
CASES = Path(os.environ.get("TRAINER_XAPI_CASES", BESIDE))

if CASES.is_file():

    def test_the_judge_agrees_with_the_open_suite():
        cases = [json.loads(line) for line in CASES.read_text(encoding="utf-8").splitlines()]
        wrong = [one["name"] for one in cases if one["accept"] is bool(faults(one["statement"]))]
        assert len(cases) > 100
        assert wrong == []
