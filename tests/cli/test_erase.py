"""`trainer erase`: counts first, then takes somebody out by their address or id."""

import json

from click.testing import CliRunner

from tests.support.people import NOW, a_person
from trainer.cli.entry import main
from trainer.settings import prepare, read_settings
from trainer.use_cases.ask_to_leave import ask
from trainer.use_cases.work import Work


def run(*words):
    done = CliRunner().invoke(main, ["erase", *words])
    return done.exit_code, done.stdout, done.stderr


def test_it_counts_first_and_then_does_it(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAINER_INSTANCE", str(tmp_path))
    settings = prepare(read_settings())
    work = Work(settings.database, settings.instance)
    work.prepare()
    ada = a_person(work, name="Ada Quill")
    with work.writing(ada.viewer) as unit:
        ask(unit, NOW)
    work.close()
    assert json.loads(run()[1])["to_be_done_by"] == "2026-03-31"
    code, told, why = run(ada.email)
    assert (code, json.loads(told)["id"]) == (1, ada.id) and "Nothing was changed" in why
    assert "is not searched for names" in why and "Backups" in why
    assert run("nobody@example.org")[0] == 2
    assert run(ada.email, "--confirm", "other@example.org")[0] == 2
    code, told, why = run(ada.id, "--confirm", ada.email)
    done = json.loads(told)
    assert (code, done["number"], done["id"]) == (0, 1, ada.id)
    assert "is not searched for names" in why and "Backups" in why
    assert done["rows"]["memberships"] == 1
    assert run(ada.email)[0] == 2
    assert run() == (0, "", "")
    assert CliRunner().invoke(main, ["log", "verify"]).exit_code == 0
