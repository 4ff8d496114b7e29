"""A backup brings everything back, on either database, or changes nothing and says why."""

import hashlib
import json
import zipfile
from contextlib import contextmanager
from datetime import timedelta
from shutil import copytree

import pytest
from click.testing import CliRunner

from tests.support.people import NOW, a_person
from tests.support.postgres import fresh_database
from trainer.cli.entry import main
from trainer.store import whole
from trainer.use_cases.back_up import back_up
from trainer.use_cases.backup_file import CONTENTS, Reader
from trainer.use_cases.keep_log import check_sealed, log
from trainer.use_cases.keep_photos import Album
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.restore import restore
from trainer.use_cases.work import Work

LATER = NOW + timedelta(days=3)


@contextmanager
def instance(url, folder):
    folder.mkdir(exist_ok=True)
    work = Work(url, folder)
    work.prepare()
    try:
        yield work
    finally:
        work.close()


@pytest.fixture
def empty(tmp_path):
    with instance(f"sqlite:///{tmp_path / 'new/trainer.db'}", tmp_path / "new") as work:
        yield work, tmp_path / "new"


@pytest.fixture
def place(tmp_path):
    """A small instance: one person, one event, one photo, keys."""
    folder = tmp_path / "old"
    folder.mkdir()
    with instance(f"sqlite:///{folder / 'trainer.db'}", folder) as work:
        someone = a_person(work)
        with work.writing(someone.viewer) as unit:
            log(unit, "role.changed", {"roles": ["instructor"]}, NOW, person_id=someone.id)
        Album(folder / "evidence").put(b"a picture")
        yield work, folder


@pytest.fixture
def saved(place, tmp_path):
    work, folder = place
    back_up(work, folder, tmp_path / "b.zip", tmp_path / "s.zip", NOW)
    return tmp_path / "b.zip", tmp_path / "s.zip"


def all_rows(work):
    with work.reading() as unit:
        return {name: list(whole.rows(unit, one)) for name, one in whole.tables(unit).items()}


def changed(path, into, **members):
    """The same zip with some members written otherwise, or left out where None."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(into, "w") as new:
        for name in old.namelist():
            content = members.get(name, old.read(name))
            if content is not None:
                new.writestr(name, content)
    return into


def refusal(*given):
    with pytest.raises(InputProblem) as found:
        restore(*given)
    return str(found.value)


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_the_whole_demo_comes_back_row_for_row_on_either_database(demo, tmp_path, request, kind):
    work, _, folder = demo
    done = back_up(work, folder, tmp_path / "b.zip", tmp_path / "s.zip", NOW)
    before = all_rows(work)
    url = f"sqlite:///{tmp_path / 'new.db'}"
    if kind == "postgresql":
        url = fresh_database(request.getfixturevalue("postgres_server"))
    with instance(url, tmp_path / "new") as other:
        back = restore(
            other, tmp_path / "new", tmp_path / "b.zip", tmp_path / "s.zip", False, LATER
        )
        after = all_rows(other)
    assert back.tables == done.tables == {name: len(rows) for name, rows in before.items()}
    assert after.pop("events")[:-1] == before.pop("events")
    assert after.pop("event_bodies")[:-1] == before.pop("event_bodies")
    assert after == before
    assert back.log.breaks == [] and back.log.events == done.tables["events"] + 1
    assert sum(len(rows) > 0 for rows in before.values()) > 25


def test_photos_keys_and_the_signed_head_come_back_for_their_owner_alone(place, saved, empty):
    work, folder = empty
    restore(work, folder, *saved, False, LATER)
    (photo,) = (folder / "evidence").iterdir()
    assert photo.read_bytes() == b"a picture"
    (key,) = (folder / "keys").glob("*.pem")
    for path in (photo, key, folder / "log_head.json"):
        assert path.stat().st_mode & 0o077 == 0


def test_no_secret_is_in_the_first_file(saved, place):
    (key,) = (place[1] / "keys").glob("*.pem")
    with zipfile.ZipFile(saved[0]) as data, zipfile.ZipFile(saved[1]) as secrets:
        assert not any("keys" in name for name in data.namelist())
        assert secrets.read(f"files/keys/{key.name}") == key.read_bytes()
    assert all(path.stat().st_mode & 0o077 == 0 for path in saved)


def test_an_older_backup_is_brought_up_to_date(tmp_path, empty):
    work, folder = empty
    with instance(f"sqlite:///{tmp_path / 'old.db'}", tmp_path / "old") as old:
        old.clear()
        old.prepare("0001_people")
        founded = NOW.replace(tzinfo=None).isoformat()
        oda = {"id": "a" * 32, "name": "Oda", "kind": "academy", "created_at": founded}
        with old.writing() as unit:
            whole.put(unit, whole.tables(unit)["organisations"], [oda])
        back_up(old, tmp_path / "old", tmp_path / "b.zip", None, NOW)
    restore(work, folder, tmp_path / "b.zip", None, False, LATER)
    with work.reading() as unit:
        (found,) = whole.rows(unit, whole.tables(unit)["organisations"])
    assert found.items() > oda.items()


def test_without_keys_it_says_what_to_do_and_writes_nothing(saved, empty):
    work, folder = empty
    told = refusal(work, folder, saved[0], None, False, LATER)
    assert "The signing keys are missing" in told and "--keys-lost" in told
    assert not (folder / "evidence").exists() or not any((folder / "evidence").iterdir())
    back = restore(work, folder, saved[0], None, True, LATER)
    assert any("sealing began after" in note for note in back.log.notes)


def test_a_place_in_use_is_left_alone(place, saved):
    before = all_rows(place[0])
    assert "holds data already" in refusal(*place, *saved, False, LATER)
    assert all_rows(place[0]) == before


@pytest.mark.parametrize(
    ("member", "content", "told"),
    [
        ("tables/persons.jsonl", b"{}\n", "not what was written"),
        ("tables/persons.jsonl", None, "missing or too much"),
        (CONTENTS, b"[]", "does not say what it holds"),
        (CONTENTS, None, "does not say what it holds"),
    ],
)
def test_a_damaged_file_is_refused_by_its_part(saved, empty, tmp_path, member, content, told):
    work, folder = empty
    bad = changed(saved[0], tmp_path / "bad.zip", **{member: content})
    assert told in refusal(work, folder, bad, saved[1], False, LATER)
    with work.reading() as unit:
        assert whole.is_empty(unit)


def test_a_file_with_any_byte_changed_is_refused_in_words(saved, tmp_path):
    """Or it was a byte that says nothing: what comes out is held against its hash."""
    content, bad = saved[0].read_bytes(), tmp_path / "bad.zip"
    refused = 0
    for at in range(0, len(content), 97):
        bad.write_bytes(content[:at] + bytes([content[at] ^ 0x10]) + content[at + 1 :])
        try:
            Reader(bad, "data").close()
        except InputProblem:
            refused += 1
    assert refused > 30


@pytest.mark.parametrize("name", ["settings.toml", "keys/other.pem", "trainer.db"])
def test_only_what_belongs_in_a_backup_comes_out_of_it(saved, empty, tmp_path, name):
    work, folder = empty
    contents = json.loads(zipfile.ZipFile(saved[0]).read(CONTENTS))
    contents["members"][f"files/{name}"] = hashlib.sha256(b"x").hexdigest()
    bad = changed(saved[0], tmp_path / "bad.zip", **{CONTENTS: json.dumps(contents)})
    with zipfile.ZipFile(bad, "a") as more:
        more.writestr(f"files/{name}", "x")
    assert "does not belong" in refusal(work, folder, bad, saved[1], False, LATER)


def test_the_secret_that_signs_what_letters_hold_comes_back(place, tmp_path):
    """The command makes a new one before it looks at the backup."""
    (place[1] / "secret_key").write_text("the old one")
    back_up(*place, tmp_path / "b.zip", tmp_path / "s.zip", NOW)
    new = tmp_path / "new"
    given = ["restore", str(tmp_path / "b.zip"), "--secrets", str(tmp_path / "s.zip")]
    done = CliRunner().invoke(main, given, env={"TRAINER_INSTANCE": str(new)})
    assert done.exit_code == 0, done.output
    assert (new / "secret_key").read_text() == "the old one"


def test_a_newer_version_the_wrong_file_and_no_zip_are_told_apart(saved, empty, tmp_path):
    work, folder = empty
    contents = json.loads(zipfile.ZipFile(saved[0]).read(CONTENTS))
    contents["version"] = "9999_tomorrow"
    newer = changed(saved[0], tmp_path / "newer.zip", **{CONTENTS: json.dumps(contents)})
    assert "newer version" in refusal(work, folder, newer, saved[1], False, LATER)
    assert "wanted is data" in refusal(work, folder, saved[1], None, False, LATER)
    assert "cannot be read" in refusal(work, folder, tmp_path / "none.zip", None, False, LATER)


def test_a_name_that_leads_out_of_the_folder_is_refused(saved, empty, tmp_path):
    work, folder = empty
    contents = json.loads(zipfile.ZipFile(saved[0]).read(CONTENTS))
    contents["members"]["files/../../out"] = "0"
    bad = changed(saved[0], tmp_path / "bad.zip", **{CONTENTS: json.dumps(contents)})
    with zipfile.ZipFile(bad, "a") as more:
        more.writestr("files/../../out", "x")
    assert "leads out of the folder" in refusal(work, folder, bad, saved[1], False, LATER)


def test_rows_that_do_not_fit_leave_nothing_behind(place, empty, tmp_path, monkeypatch):
    (place[1] / "secret_key").write_text("the old one")
    saved = tmp_path / "b.zip", tmp_path / "s.zip"
    back_up(*place, *saved, NOW)
    work, folder = empty
    (folder / "secret_key").write_text("its own")

    def fails(unit, into, given):
        raise OSError("the disk is full")

    monkeypatch.setattr(whole, "put", fails)
    with pytest.raises(OSError, match="full"):
        restore(work, folder, *saved, False, LATER)
    with work.reading() as unit:
        assert whole.is_empty(unit)
    assert not (folder / "log_head.json").exists() and not list((folder / "keys").glob("*.pem"))
    assert (folder / "secret_key").read_text() == "its own"


def test_a_file_that_exists_is_not_written_over(place, saved):
    before = saved[0].read_bytes()
    with pytest.raises(InputProblem, match="There is a file already"):
        back_up(*place, saved[0], None, NOW)
    assert saved[0].read_bytes() == before


def test_data_and_secrets_cannot_be_one_file(place, tmp_path):
    with pytest.raises(InputProblem, match="same file"):
        back_up(*place, tmp_path / "b.zip", tmp_path / "." / "b.zip", NOW)
    assert not list(tmp_path.glob("b.zip*"))


def test_a_log_cut_before_the_backup_still_shows_after_it(place, empty, tmp_path):
    work, folder = place
    copytree(folder / "keys", tmp_path / "kept")
    with work.writing() as unit:
        tables = whole.tables(unit)
        unit.connection.execute(tables["event_bodies"].delete())
        unit.connection.execute(tables["events"].delete())
    back_up(work, folder, tmp_path / "b.zip", tmp_path / "s.zip", NOW)
    back = restore(*empty, tmp_path / "b.zip", tmp_path / "s.zip", False, LATER)
    assert back.log.breaks
    with work.snapshot() as unit:
        assert check_sealed(unit, work.seal).breaks
