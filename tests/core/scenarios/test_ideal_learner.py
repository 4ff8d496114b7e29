"""Who knows the book and reads the givens is right every time: nothing else is needed."""

import ast
import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.support import ideal_learner
from tests.support.ideal_learner.answers import ANSWERS
from trainer.core.scenarios.case import LEVELS
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate

HIDDEN = ("key", "explanation", "facts", "misconceptions", "stem", "features")
PER_FAMILY = 4  # of each level; `tests.benchmarks.wrong_keys` tries a hundred thousand


def run(module, *words):
    done = subprocess.run(
        [sys.executable, "-m", module, *words], capture_output=True, text=True, check=True
    )
    return done.stdout


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("printed")
    for name in ("facts", "rules", "procedures", "misconceptions"):
        (made / f"{name}.jsonl").write_text(run("trainer", name), encoding="utf-8")
    return made


@pytest.mark.parametrize("level", LEVELS)
def test_the_ideal_learner_is_right_every_time(bank, folder, level):
    count = str(PER_FAMILY * len(families(bank)))
    printed = run("trainer", "questions", "--count", count, "--seed", "5", "--level", level)
    rows = [json.loads(line) for line in printed.splitlines()]
    shown = [{k: v for k, v in row.items() if k not in HIDDEN} for row in rows]
    (folder / "questions.jsonl").write_text("\n".join(map(json.dumps, shown)), encoding="utf-8")
    (folder / "keyed.jsonl").write_text(printed, encoding="utf-8")
    (folder / "responses.jsonl").write_text(
        run("tests.support.ideal_learner", str(folder)), encoding="utf-8"
    )
    marked = run("trainer", "mark", str(folder / "keyed.jsonl"), str(folder / "responses.jsonl"))
    scores = {row["id"]: row["score"] for row in map(json.loads, marked.splitlines())}
    assert {row["family"] for row in rows} == {one.id for one in families(bank)}
    assert [row["id"] for row in rows if scores.get(row["id"]) != 1] == []


def test_every_item_model_has_its_answer(bank):
    assert set(bank.item_models) == set(ANSWERS)


def test_how_a_finding_is_said_is_taught_and_rested_on(bank, folder):
    lines = (folder / "facts.jsonl").read_text(encoding="utf-8").splitlines()
    told = {row["id"]: row for row in map(json.loads, lines)}
    saying = {name for name in told if name.startswith("consult.say_")}
    assert len(saying) == 4
    for method in bank.methods:
        item = generate(bank, f"words_for_client.{method}", 3)
        assert saying < set(item.facts) <= set(told)
        kinds = {basis["kind"] for name in item.facts for basis in told[name]["basis"]}
        assert {"common_practice", "published"} <= kinds


def test_the_learner_is_an_outside_program():
    for path in Path(ideal_learner.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [node.module] if isinstance(node, ast.ImportFrom) else []
            names += [one.name for one in node.names] if isinstance(node, ast.Import) else []
            assert not [name for name in names if (name or "").startswith("trainer")]
