"""Whatever is imported stands in pyproject.toml: nothing rests on what another library brings."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions

import pytest

from tests.house_rules.reading import ROOT, tracked

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
OUR_OWN = {"trainer", "tests"}
BROUGHT_BY = packages_distributions()
"""What can be imported here -> the distributions that it comes from."""


def plain(name):
    return re.split(r"[^\w.-]", name)[0].lower().replace("_", "-")


def imported(source):
    """The outermost names that a module imports."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (one.name.partition(".")[0] for one in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module.partition(".")[0]


def undeclared(names, declared):
    """Of names that are installed here, those that no declared distribution brings."""
    known = {plain(one) for one in declared}
    outside = (set(names) & set(BROUGHT_BY)) - OUR_OWN - set(sys.stdlib_module_names)
    return {one for one in outside if not known & set(map(plain, BROUGHT_BY[one]))}


@pytest.mark.parametrize("room", ["trainer", "tests"])
def test_every_import_is_declared(room):
    declared = list(PROJECT["dependencies"])
    if room == "tests":
        declared += sum(PROJECT["optional-dependencies"].values(), [])
    texts = (path.read_text(encoding="utf-8") for path in tracked(".py") if _is_in(path, room))
    names = {name for text in texts for name in imported(text)}
    assert undeclared(names, declared) == set()
    assert len(names & set(BROUGHT_BY)) > 20


def test_what_is_not_declared_is_found():
    names = imported("import json\nfrom flask import Flask\nimport numpy.linalg")
    assert undeclared(names, ["Flask>=3"]) == {"numpy"}


def _is_in(path, room):
    return path.relative_to(ROOT).parts[0] == room
