"""A client on paper: what is refused, what the rules say, what each case of the trade gets."""

import json
import tomllib
from datetime import date, timedelta
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.advice.advise import advice_json, advise
from trainer.core.advice.profile import profile_schema, read_profile
from trainer.core.advice.verdict import RANK, verdict_of
from trainer.core.problems import InputProblem
from trainer.use_cases.open_bank import open_bank

DAY = date(2026, 3, 3)
CASES = [
    (path.stem, case)
    for path in sorted((Path(__file__).parent / "cases").glob("*.toml"))
    for case in tomllib.loads(path.read_text(encoding="utf-8"))["case"]
]


@pytest.mark.parametrize(
    ("method", "case"), CASES, ids=lambda v: v if isinstance(v, str) else v["name"]
)
def test_cases_of_the_trade(bank, method, case):
    profile = read_profile(bank, case["client"])
    verdict, rules = verdict_of(bank, method, profile)
    assert verdict == case["verdict"], [rule.id for rule in rules]
    assert case.get("rule", "") in ["", *(rule.id for rule in rules)]


def test_every_method_has_cases(bank):
    assert {method for method, _ in CASES} == set(bank.methods)


@pytest.mark.parametrize(
    ("raw", "field"),
    [
        ({"hair_colour": "red"}, "hair_colour"),
        ({"relaxed": "yes"}, "relaxed"),
        ({"density": "sparse"}, "density"),
        ({"pull_test_hairs": 2.5}, "pull_test_hairs"),
        ({"age": 200}, "age"),
        ({"age": 8, "weeks_since_birth": 4}, "age"),
        ({"pain_with_last": True}, "last_attachment"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(bank, raw, field):
    with pytest.raises(InputProblem) as refused:
        read_profile(bank, raw)
    assert field in refused.value.where


def test_the_schema_accepts_what_the_reader_accepts(bank):
    schema = profile_schema(bank)
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate({"density": "low", "age": 30, "relaxed": True}, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"hair_colour": "red"}, schema)


@given(st.data())
def test_one_more_finding_never_lowers_a_verdict(data):
    bank = open_bank()
    method = data.draw(st.sampled_from(sorted(bank.methods)))
    flags = sorted(a.id for a in bank.attributes.values() if a.kind == "flag")
    mild = {"clinician_agrees", "parent_consent", "returns_for_visits", "daily_removal_ok"}
    chosen = data.draw(st.sets(st.sampled_from([f for f in flags if f not in mild]), max_size=3))
    base = read_profile(bank, {"last_attachment": "tape_in", "skin_test_hours": 60})
    before = RANK[verdict_of(bank, method, base)[0]]
    after = RANK[verdict_of(bank, method, base.changed(**dict.fromkeys(chosen, True)))[0]]
    assert after >= before


def test_a_wait_names_its_first_day(bank):
    profile = read_profile(bank, {"skin_test_hours": 1, "skin_test_result": "clear"})
    found = advise(bank, profile, DAY, ["tape_in"])["tape_in"]
    assert found.verdict == "wait"
    assert found.earliest == DAY + timedelta(days=2)


def test_a_plan_gives_dates_and_its_reasons(bank):
    clear = read_profile(bank, {"skin_test_hours": 60, "skin_test_result": "clear"})
    plan = advise(bank, clear, DAY, ["fusion_bond"])["fusion_bond"].plan
    assert plan is not None
    assert plan.dates["move up from"] == DAY + timedelta(weeks=8)
    assert plan.dates["move up by"] == DAY + timedelta(weeks=12)
    words = {line.what: line.words for line in plan.lines}
    assert words["Bonds for 120 g of added hair"] == "120 to 240"
    assert plan.agents == ("Alcohol-based keratin remover",)


def test_nothing_is_planned_where_the_answer_is_no(bank):
    lice = read_profile(bank, {"live_lice": True})
    assert all(one.plan is None for one in advise(bank, lice, DAY).values())


def test_the_contract_s_shape(bank):
    found = json.loads(json.dumps(advice_json(advise(bank, read_profile(bank, {}), DAY))))
    assert set(found["methods"]) == set(bank.methods)
    for one in found["methods"].values():
        assert set(one) == {"verdict", "reasons", "earliest_date", "plan"}
        for reason in one["reasons"]:
            assert set(reason) == {"rule", "verdict", "statement", "facts"}
