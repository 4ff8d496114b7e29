"""Commands that print the bank, and advise: the contract's shapes, and wrong input."""

import json
from itertools import combinations

import pytest

from tests.support.command import run
from trainer.core.knowledge.words import VERDICTS


def rows(*words):
    code, out, _ = run(*words)
    assert code == 0
    return [json.loads(line) for line in out.splitlines()]


def test_facts_have_the_contract_s_shape():
    found = rows("facts")
    assert len(found) >= 150
    for row in found:
        assert list(row) == [
            *("id", "method", "service", "topic", "statement", "low", "high", "unit"),
            *("critical", "basis", "reviewed"),
        ]
        assert "{" not in row["statement"]
        assert row["basis"]
        for basis in row["basis"]:
            assert set(basis) == {"kind", "source", "locator"}


def test_facts_of_a_method_and_topic():
    found = rows("facts", "--method", "tape_in", "--topic", "timings")
    assert {row["topic"] for row in found} == {"timings"}
    assert {row["method"] for row in found} <= {"tape_in", "bonded", "all"}
    assert "tape_in.wear" in {row["id"] for row in found}


def test_rules_and_schema_alone_reach_every_verdict():
    """An outside program that reads only what the commands print gives the same verdicts."""
    rules = rows("rules")
    schema = json.loads(run("advise", "--schema")[1])["properties"]
    defaults = {name: one["default"] for name, one in schema.items() if "default" in one}
    tests = {
        "is": lambda v, b: v == b,
        "is_not": lambda v, b: v != b,
        "one_of": lambda v, b: v in b,
        "at_least": lambda v, b: v >= b,
        "at_most": lambda v, b: v <= b,
        "above": lambda v, b: v > b,
        "below": lambda v, b: v < b,
    }

    def holds(condition, client):
        value = client.get(condition["attribute"])
        asked = [(tests[name], bound) for name, bound in condition.items() if name in tests]
        return value is not None and all(test(value, bound) for test, bound in asked)

    def silent(rule, method, client):
        when = rule["silent_when"].get(method, [])
        return bool(when) and all(holds(one, client) for one in when)

    def verdict(method, client):
        spoken = [
            rule["verdict"]
            for rule in rules
            if method in rule["methods"]
            and not silent(rule, method, client)
            and all(holds(one, client) for one in rule["when"])
            and not (rule["unless"] and all(holds(one, client) for one in rule["unless"]))
        ]
        return max(spoken, key=VERDICTS.index, default="go_ahead")

    flags = ["relaxed", "acrylate_reaction", "edge_thinning", "live_lice", "oily_scalp"]
    for pair in combinations(flags, 2):
        client = dict.fromkeys(pair, True)
        advised = json.loads(run("advise", "-", input=json.dumps(client))[1])["methods"]
        for method, one in advised.items():
            assert one["verdict"] == verdict(method, defaults | client), (pair, method)


def test_procedures_print_every_pair_that_binds():
    (removal,) = [r for r in rows("procedures", "--method", "tape_in") if r["service"] == "remove"]
    assert ["soak", "comb"] in removal["pairs"]
    assert {one["id"] for one in removal["forbidden"]} >= {"dry_pull", "warm_iron"}


def test_what_goes_wrong_and_care_at_home_are_printed_too():
    found = rows("procedures", "--method", "clip_in")
    troubles, care = ([r for r in found if r.get("kind") == k] for k in ("trouble", "home_care"))
    assert {"clip_caught", "it_hurts"} <= {row["id"] for row in troubles}
    assert all("clip_in" in row["methods"] and row["do"] and row["wrong"] for row in troubles)
    assert all("clip_in" in row["holds_for"] + row["wrong_for"] for row in care)
    assert {"out_at_night", "sleep_wet"} <= {row["id"] for row in care}


def test_misconceptions_name_the_fact_that_answers():
    known = {row["id"] for row in rows("facts")}
    assert all(row["answer"] in known for row in rows("misconceptions"))


def test_bank_counts_and_schema():
    code, out, _ = run("bank")
    assert code == 0 and json.loads(out)["methods"] == 7
    assert json.loads(out)["troubles"] >= 22 and json.loads(out)["home_care"] >= 23
    assert "fact" in json.loads(run("bank", "--schema")[1])["properties"]


@pytest.mark.parametrize(
    ("words", "stdin", "named"),
    [
        (("facts", "--method", "glue_on"), None, "--method"),
        (("advise", "-"), '{"age": 500}', "age"),
        (("advise", "-"), '{"colour": 1}', "colour"),
        (("advise", "-"), '{"age": ', "line 1"),
        (("advise", "nowhere.json"), None, "nowhere.json"),
        (("advise",), None, "PROFILE.json"),
        (("advise", "-"), "[]", "profile"),
    ],
)
def test_wrong_input_ends_with_2_and_names_the_place(words, stdin, named):
    code, out, err = run(*words, input=stdin)
    assert code == 2
    assert named in err
    assert out == ""
