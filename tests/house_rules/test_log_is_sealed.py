"""Whoever opens the database in the program also keeps the log's signed head: no way past it."""

import ast

from tests.house_rules.reading import ROOT


def unsealed(text: str) -> list[int]:
    """Lines that open units of work without the instance folder."""
    calls = [one for one in ast.walk(ast.parse(text)) if isinstance(one, ast.Call)]
    opened = [one for one in calls if isinstance(one.func, ast.Name) and one.func.id == "Work"]
    return [one.lineno for one in opened if len(one.args) + len(one.keywords) < 2]


def test_every_command_and_server_keeps_the_signed_head():
    files = [*(ROOT / "trainer/cli").rglob("*.py"), *(ROOT / "trainer/web").rglob("*.py")]
    found = {file.name: unsealed(file.read_text(encoding="utf-8")) for file in files}
    assert {name: lines for name, lines in found.items() if lines} == {}


def test_one_that_does_not_is_found():
    assert unsealed("work = Work(settings.database)\n") == [1]
    assert unsealed("work = Work(settings.database, settings.instance)\n") == []
