"""users, log, settings: what whoever runs the machine does, in an instance folder of its own."""

import json
from contextlib import closing

import pytest

from tests.support import command
from tests.support.changed import FACT, older
from tests.support.people import NOW, join_by
from trainer import clock
from trainer.core.problems import InputProblem
from trainer.settings import prepare, read_settings
from trainer.use_cases import note_facts
from trainer.use_cases.work import Work


@pytest.fixture
def run(tmp_path):
    def ask(*words):
        code, out, err = command.run(*words, env={"TRAINER_INSTANCE": str(tmp_path)})
        return code, [json.loads(line) for line in out.splitlines() if line.startswith('{"')], err

    return ask


def test_from_an_empty_machine_to_somebody_who_can_sign_in(run, tmp_path):
    _, (place,), _ = run("users", "found", "--name", "Rowan Lane", "--kind", "academy")
    words = ("--name", "Nell Ashby", "--email", "nell@example.org", "--role", "administrator")
    _, (added,), _ = run("users", "add", *words, "--organisation", place["id"])
    assert run("users", "list")[1] == []
    with closing(Work(f"sqlite:///{tmp_path / 'trainer.db'}", tmp_path)) as work:
        join_by(work, added["link"].removeprefix("/join/"), at=clock.now())
    _, (listed,), _ = run("users", "list")
    assert listed["memberships"] == [{"organisation": "Rowan Lane", "roles": ["administrator"]}]
    _, (again,), _ = run("users", "link", "nell@example.org")
    assert again["link"] != added["link"]
    assert run("users", "disable", "nell@example.org")[0] == 0
    assert run("users", "list")[1][0]["disabled"]


def test_unknown_people_and_places_end_with_2(run):
    assert run("users", "link", "nobody@example.org")[0] == 2
    words = ("--name", "N", "--email", "n@example.org", "--role", "apprentice")
    code, _, err = run("users", "add", *words, "--organisation", "nowhere")
    assert code == 2 and "--organisation" in err


def test_the_log_holds_from_the_first_event(run, tmp_path):
    run("users", "found", "--name", "Rowan Lane", "--kind", "salon")
    code, out, _ = command.run("log", "verify", env={"TRAINER_INSTANCE": str(tmp_path)})
    assert code == 0
    assert json.loads(out) == {"events": 1, "whole": True, "breaks": [], "notes": []}


def test_settings_come_from_the_environment_over_the_file(tmp_path):
    (tmp_path / "settings.toml").write_text('retake_days = 3\nbase_url = "https://a.example/"\n')
    settings = read_settings({"TRAINER_INSTANCE": str(tmp_path), "TRAINER_RETAKE_DAYS": "5"})
    assert (settings.retake_days, settings.base_url, settings.https) == (
        5,
        "https://a.example",
        True,
    )


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("retake = 3", "retake"),
        ("retake_days = 'x'", "from 0 to 3650"),
        ("retake_days = -1", "retake_days"),
        ("retake_days = 1.5", "a whole number"),
        ("valid_months_bonded = 0", "from 1"),
        ("api_calls = true", "api_calls"),
        ("observation_share = 80", "from 0 to 1"),
        ("observation_share = nan", "observation_share"),
        ("base_url = 'trainer.example'", "https://"),
        ("smtp_url = 'mail.example:25'", "smtp://"),
        ("database_url = 'mysql://x'", "postgresql://"),
        ("mail_from = 5", "Give words"),
        ("=", "TOML"),
    ],
)
def test_a_setting_that_cannot_be_is_named(tmp_path, text, named):
    (tmp_path / "settings.toml").write_text(text)
    with pytest.raises(InputProblem, match=named):
        read_settings({"TRAINER_INSTANCE": str(tmp_path)})


def test_the_secret_key_is_made_once_and_kept_private(tmp_path):
    settings = read_settings({"TRAINER_INSTANCE": str(tmp_path / "new")})
    first, again = prepare(settings), prepare(settings)
    assert first.secret_key == again.secret_key != ""
    assert (tmp_path / "new" / "secret_key").stat().st_mode & 0o077 == 0


def test_facts_that_changed_are_printed_with_what_leans_on_them(run, tmp_path, bank, a_change):
    assert run("facts", "--changed")[:2] == (0, [])
    with closing(Work(f"sqlite:///{tmp_path / 'trainer.db'}", tmp_path)) as work:
        note_facts.note(work, older(bank), NOW)
    code, (_, row), _ = run("facts", "--changed")
    assert (code, row["fact"], row["kind"], row["asks_again"]) == (0, FACT, "changed", True)
    assert row["before"]["high"] == 3 and row["after"]["high"] == 1
    assert row["new_version"] == bank.version and "safe_one_of_four.tape_in" in row["families"]
    assert len(run("facts", "--changed", "--method", "tape_in")[1]) == 2
    assert run("facts", "--changed", "--method", "clip_in")[1] == []
    assert run("facts", "--changed", "--topic", "timings")[1] == []
    assert run("log", "verify")[0] == 0
