"""Documents kept true: commands, settings and the two commands of the README."""

import re
import subprocess
import sys
from dataclasses import fields

import click
import pytest

from tests.house_rules.reading import ROOT
from trainer.cli.entry import main
from trainer.settings import Settings
from trainer.web.api.serving import DESCRIPTION

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
COMMANDS = main.list_commands(click.Context(main))


def undocumented(names, text):
    return [name for name in names if not re.search(rf"`(trainer )?{re.escape(name)}\b", text)]


def test_every_command_is_in_the_readme():
    assert undocumented(COMMANDS, README) == []


def test_every_setting_is_documented():
    names = [f"TRAINER_{one.name.upper()}" for one in fields(Settings)]
    assert undocumented(names, README) == []


def test_what_is_not_documented_is_found():
    assert undocumented(["facts", "nothing"], "`trainer facts`") == ["nothing"]


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_with_an_example(name):
    command = main.get_command(click.Context(main), name)
    with click.Context(command, info_name=f"trainer {name}") as context:
        told = command.get_help(context)
    assert "Example: trainer" in told
    if isinstance(command, click.Group):
        assert all(one.help for one in command.commands.values())


def test_the_readme_opens_with_the_job_and_holds_the_two_commands():
    first = README.split("\n\n")[1]
    assert len(first.split()) > 60 and "hair" in first
    assert re.search(r"^    python3 -m venv .*trainer serve --demo$", README, re.M)
    assert re.search(r"^    python3 -m venv .*python -m tests$", README, re.M)


def test_the_readme_s_pictures_are_there():
    named = re.findall(r"\]\((\.pictures/[^)]+)\)", README)
    assert len(named) == 3
    assert all((ROOT / name).stat().st_size > 10_000 for name in named)


def test_the_addresses_that_the_readme_asks_are_those_of_the_service(app):
    asked = re.findall(r"/api/v1(/[\w./-]+)", README)
    told = app.extensions[DESCRIPTION].operations
    assert {"/people", "/clearance", "/openapi.json"} <= set(asked)
    assert set(asked) - {"/openapi.json"} <= {one.path for one in told}


def test_recipes_are_there():
    for what in ("method", "fact", "item model", "item type"):
        assert f"**{what}**" in DEVELOPERS


def test_the_program_runs_as_a_module():
    found = subprocess.run(
        [sys.executable, "-m", "trainer", "--help"], capture_output=True, text=True, check=True
    )
    assert "serve" in found.stdout


def places_named(text):
    """The tests and modules that a table names, and those of them that are not there."""
    rooms = "|".join(one.name for one in (ROOT / "tests").iterdir() if one.is_dir())
    named = re.findall(rf"`((?:{rooms})(?:/[\w/]+)?(?:\.py)?)`", text)
    there = (ROOT / "tests", ROOT / "trainer")
    return named, [one for one in named if not any((place / one).exists() for place in there)]


def test_the_tests_that_a_clause_rests_on_are_there():
    table = DEVELOPERS.partition("ISO/IEC 17024\n")[2].partition("\n## ")[0]
    named, missing = places_named(table)
    assert missing == [] and len(named) > 30
    assert places_named("`core/records/test_nothing.py`")[1] == ["core/records/test_nothing.py"]
