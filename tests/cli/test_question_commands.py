"""questions, mark, audit: the contract's shapes, marks that agree, and wrong input."""

import json
from zipfile import ZipFile

import pytest

from tests.support.command import run
from trainer.core.scenarios.audit import AuditResult, Finding
from trainer.use_cases import audit_questions

SHAPE = [
    *("id", "family", "method", "topic", "type", "critical", "stem", "figure", "givens"),
    *("options", "key", "explanation", "facts", "misconceptions", "level", "features"),
    "bank_version",
]


@pytest.fixture(scope="module")
def questions():
    code, out, _ = run("questions", "--count", "120", "--seed", "7")
    assert code == 0
    return [json.loads(line) for line in out.splitlines()]


def test_shape_and_count(questions):
    assert len(questions) == 120
    assert all(list(one) == SHAPE for one in questions)
    assert {one["type"] for one in questions} == {
        *("choose_one", "choose_all", "put_in_order", "number", "date"),
        *("point_at_figure", "consultation"),
    }


def test_same_seed_same_bytes(questions):
    again = run("questions", "--count", "120", "--seed", "7")[1]
    assert [json.loads(line) for line in again.splitlines()] == questions
    assert run("questions", "--count", "3", "--seed", "8")[1] != again[:1000]


def test_filters():
    words = ("--count", "12", "--seed", "1", "--method", "wig_piece", "--type", "choose_one")
    found = [
        json.loads(line) for line in run("questions", *words, "--level", "advanced")[1].splitlines()
    ]
    kinds = {(one["method"], one["type"], one["level"]) for one in found}
    assert kinds == {("wig_piece", "choose_one", "advanced")}


def right_response(item):
    if item["type"] == "put_in_order":
        left, placed = list(item["key"]["steps"]), []
        while left:
            free = next(
                s for s in left if not any(b == s and a in left for a, b in item["key"]["pairs"])
            )
            placed.append(free)
            left.remove(free)
        return placed
    if item["type"] == "number":
        return item["key"]["value"]
    return item["key"]


def marks(tmp_path, items, responses):
    (tmp_path / "items.jsonl").write_text("\n".join(json.dumps(i) for i in items))
    (tmp_path / "responses.jsonl").write_text("\n".join(json.dumps(r) for r in responses))
    return run("mark", str(tmp_path / "items.jsonl"), str(tmp_path / "responses.jsonl"))


def test_right_responses_are_marked_right(tmp_path, questions):
    sent = [{"id": one["id"], "response": right_response(one)} for one in questions]
    code, out, _ = marks(tmp_path, questions, sent)
    assert code == 0
    found = [json.loads(line) for line in out.splitlines()]
    assert all(
        list(m) == ["id", "score", "critical_error", "misconceptions", "feedback"] for m in found
    )
    assert {m["score"] for m in found} == {1.0}
    assert not any(m["critical_error"] for m in found)


def test_a_wrong_choice_names_the_belief_behind_it(tmp_path, questions):
    item = next(one for one in questions if one["type"] == "choose_one" and one["critical"])
    wrong = next(o["id"] for o in item["options"] if o["id"] not in item["key"])
    _, out, _ = marks(tmp_path, [item], [{"id": item["id"], "response": [wrong]}])
    mark = json.loads(out)
    assert mark["score"] == 0 and mark["critical_error"]
    assert mark["misconceptions"] == [item["misconceptions"][wrong]]
    assert mark["feedback"].startswith("Not right.")


def test_a_place_in_the_drawing_counts_for_its_part(tmp_path, questions):
    item = next(one for one in questions if one["type"] == "point_at_figure")
    figure = item["figure"]
    assert set(figure) == {"svg", "alt", "regions"} and figure["svg"].startswith("<svg")
    sent, right = [], []
    for region in figure["regions"]:
        left, top, width, height = region["boxes"][0]
        place = {"x": left + width / 2, "y": top + height / 2}
        right.append(region["id"] in item["key"])
        sent.append({"id": item["id"], "response": place})
    _, out, _ = marks(tmp_path, [item], sent)
    assert [json.loads(line)["score"] == 1 for line in out.splitlines()] == right
    nowhere = [{"id": item["id"], "response": {"x": -1, "y": -1}}]
    code, out, err = marks(tmp_path, [item], nowhere)
    assert (code, out) == (2, "") and "points at no lettered part" in err


@pytest.mark.parametrize(
    ("response", "named"),
    [
        ({"id": "nothing", "response": ["a"]}, "nothing"),
        ({"response": ["a"]}, "id and response"),
    ],
)
def test_wrong_responses_end_with_2(tmp_path, questions, response, named):
    code, out, err = marks(tmp_path, questions[:1], [response])
    assert (code, out) == (2, "")
    assert named in err and "line 1" in err


def test_an_answer_of_the_wrong_kind_names_its_line(tmp_path, questions):
    item = next(one for one in questions if one["type"] == "date")
    code, _, err = marks(tmp_path, [item], [{"id": item["id"], "response": "soon"}])
    assert code == 2 and "line 1, response" in err


def test_audit_of_one_family():
    words = ("audit", "--family", "return_window.tape_in", "--count", "20")
    code, out, _ = run(*words)
    assert code == 0 and "1 families, 0 failed" in out
    told = json.loads(run(*words, "--json")[1])
    assert told[0]["passed"] and told[0]["items"] == 20


def test_an_unknown_family_ends_with_2():
    assert run("audit", "--family", "nothing.tape_in")[0] == 2


def test_consultations_go_round_from_questions_to_marks(tmp_path):
    words = ("--count", "12", "--seed", "4", "--type", "consultation")
    items = [json.loads(line) for line in run("questions", *words)[1].splitlines()]
    assert all(set(one["key"]) == {"findings", "decision", "plan"} for one in items)
    for one in items:
        given = one["givens"]
        assert {"profile", "methods", "steps", "today", "skin_test"} <= set(given)
        assert all({"id", "reveals", "finding", "days"} <= set(step) for step in given["steps"])
    right = [_consulted(one) for one in items]
    rash = [
        {"findings": [], "decision": dict.fromkeys(one["givens"]["methods"], "go_ahead")}
        | {"plan": None, "words": right[n]["words"]}
        for n, one in enumerate(items)
    ]
    for responses, good in ((right, True), (rash, False)):
        rows = _marked(tmp_path, items, responses)
        assert [row["score"] == 1.0 for row in rows] == [good] * len(items)
        assert all(row["feedback"].startswith("Right.") is good for row in rows)


def _consulted(one):
    plan = one["key"]["plan"]
    if plan:
        plan = {name: plan[name] for name in plan if name != "or"}
        plan |= {"grams": plan["grams"]["low"]}
    wrong = one["misconceptions"]
    return {
        "findings": [entry["steps"][0] for entry in one["key"]["findings"] if entry["steps"]],
        "decision": one["key"]["decision"],
        "plan": plan,
        "words": next(option["id"] for option in one["options"] if option["id"] not in wrong),
    }


def _marked(folder, items, responses):
    names = [folder / "items.jsonl", folder / "responses.jsonl"]
    said = [{"id": i["id"], "response": r} for i, r in zip(items, responses, strict=True)]
    for name, rows in zip(names, (items, said), strict=True):
        name.write_text("\n".join(json.dumps(row) for row in rows))
    code, out, problem = run("mark", *map(str, names))
    assert (code, problem) == (0, "")
    return [json.loads(line) for line in out.splitlines()]


def test_audit_in_processes_is_the_same_as_in_one(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAINER_INSTANCE", str(tmp_path))
    words = ("audit", "--method", "clip_in", "--count", "5", "--json")
    one, two = run(*words, "--jobs", "1"), run(*words, "--jobs", "2", "--save")
    assert one[:2] == two[:2] and len(json.loads(one[1])) > 5
    assert "of" in two[2] and "audit.json" in two[2]
    kept = audit_questions.last(tmp_path)
    assert (kept.count, kept.level, len(kept.results)) == (5, "working", len(json.loads(one[1])))


def test_an_audit_that_finds_something_ends_with_1(monkeypatch):
    found = AuditResult("x.tape_in", 1, (Finding("HDR 12: words", "broken", 0),))
    monkeypatch.setattr(audit_questions, "audit_families", lambda *_: [found])
    code, out, _ = run("audit")
    assert code == 1 and "seed 0: HDR 12: words: broken" in out and "1 families, 1 failed" in out


def test_capacity_says_what_to_declare():
    words = ("audit", "--family", "overdue.tape_in", "--count", "40", "--jobs", "1", "--capacity")
    code, out, _ = run(*words)
    (row,) = json.loads(run(*words, "--json")[1])
    assert code == 0 and f"capacity = {{ tape_in = {row['to_declare']} }}" in out
    assert row["distinct"] <= row["estimated"]


def test_a_method_without_families_ends_with_2():
    assert run("audit", "--method", "glue_gun")[0] == 2


def test_a_package_is_checked_and_written(tmp_path):
    target = tmp_path / "set.zip"
    asked = ("questions", "--count", "3", "--seed", "1", "--type", "choose_one")
    code, out, _ = run(*asked, "--package", str(target))
    said = json.loads(out)
    assert (code, said["checked_by"]) == (0, ["our grammar", "references"])
    with ZipFile(target) as archive:
        assert sorted(archive.namelist()) == said["files"]


def test_a_package_that_a_schema_refuses_is_not_written(tmp_path):
    """The official files may not be copied here: one of our own that asks for the impossible."""
    space, names = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0", ("item", "test")
    manifest = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
    head = '<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="{}">'
    empty = '<xs:element name="{}"><xs:complexType/></xs:element>'
    both = "".join(empty.format(f"qti-assessment-{name}") for name in names)
    folder = tmp_path / "xsd"
    folder.mkdir()
    (folder / "a.xsd").write_text(head.format(space) + both + "</xs:schema>")
    (folder / "b.xsd").write_text(head.format(manifest) + empty.format("manifest") + "</xs:schema>")
    target = tmp_path / "set.zip"
    asked = ("questions", "--count", "1", "--seed", "1", "--package", str(target), "--schema")
    code, _, err = run(*asked, str(folder))
    assert code == 1 and "imsmanifest.xml: line" in err and not target.exists()
    assert run(*asked, str(tmp_path / "nothing"))[0] == 2
    assert run("questions", "--count", "1", "--seed", "1", "--schema", str(folder))[0] == 2
