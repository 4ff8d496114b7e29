"""Small files, short functions, no drawer for odds and ends, and the top level as agreed."""

import subprocess

from tests.house_rules.reading import MAGNETS, ROOT, long_functions, too_long, tracked

TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "trainer", "question_bank", "tests"}


def test_no_file_is_too_long():
    files = tracked(".py", ".html", ".css", ".js")
    assert [str(f.relative_to(ROOT)) for f in files if too_long(f.read_text())] == []


def test_no_function_is_too_long():
    found = {
        str(path.relative_to(ROOT)): long_functions(path.read_text())
        for path in tracked(".py")
        if "migrations/versions" not in str(path)
    }
    assert {name: functions for name, functions in found.items() if functions} == {}


def test_no_module_gathers_odds_and_ends():
    assert [str(p.relative_to(ROOT)) for p in tracked(".py") if p.stem in MAGNETS] == []


def test_the_top_level_is_as_agreed():
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    top = {name.split("/")[0] for name in listed}
    assert {name for name in top if not name.startswith(".")} == {*TOP, "instance"}


def test_the_rules_see_what_they_forbid():
    assert too_long("x\n" * 401)
    assert not too_long("x\n" * 400)
    body = "".join(f"    a{n} = {n}\n" for n in range(41))
    assert long_functions("def f():\n" + body) == ["f"]
    assert long_functions('def f():\n    """' + "x\n" * 60 + '"""\n    return 1\n') == []
