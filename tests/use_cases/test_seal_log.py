"""The signed head beside the database: kept around commits, and told apart from a cut."""

import multiprocessing
from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import delete, update

from tests.support.people import NOW
from tests.support.postgres import fresh_database
from trainer.store.events import EventBodyRow, EventRow
from trainer.use_cases import keep_log
from trainer.use_cases.keep_log import check_sealed, log
from trainer.use_cases.seal_log import LogSeal
from trainer.use_cases.work import Work


def opened(folder):
    work = Work(f"sqlite:///{folder / 'trainer.db'}", folder)
    work.prepare()
    return work


@pytest.fixture
def sealed(tmp_path):
    work = opened(tmp_path)
    yield work
    work.close()


def say(work, count=1):
    for number in range(count):
        with work.writing() as unit:
            log(unit, "test.event", {"number": number}, NOW)


def found(work):
    with work.snapshot() as unit:
        return check_sealed(unit, work.seal)


def test_nothing_is_kept_where_nothing_happened(sealed):
    with sealed.writing():
        pass
    assert not sealed.seal.path.exists()
    assert found(sealed).breaks == []


def test_every_commit_moves_the_head(sealed):
    say(sealed, 3)
    assert (sealed.seal.read().head.number, sealed.seal.read().coming) == (3, None)
    assert found(sealed).breaks == []
    assert sealed.seal.path.stat().st_mode & 0o777 == 0o600


def test_whoever_appends_does_not_wait_for_a_check_and_is_not_seen_by_it(sealed, monkeypatch):
    say(sealed, 2)
    real = keep_log.check_log

    def check_while_somebody_appends(unit):
        say(sealed)
        return real(unit)

    monkeypatch.setattr(keep_log, "check_log", check_while_somebody_appends)
    said = found(sealed)
    assert (said.events, said.breaks) == (2, [])
    with sealed.snapshot() as unit:
        lines = keep_log.exported(unit)
        assert next(lines)["number"] == 1
        say(sealed)
        assert sum(1 for _ in lines) == 2
    assert sealed.seal.read().head.number == 4


def test_what_is_rolled_back_leaves_the_head_where_it_was(sealed):
    say(sealed)
    with pytest.raises(RuntimeError), sealed.writing() as unit:
        log(unit, "test.event", {}, NOW)
        raise RuntimeError
    assert sealed.seal.read().head.number == 1
    assert found(sealed).breaks == []


def test_several_events_in_one_unit_are_sealed_together(sealed):
    with sealed.writing() as unit:
        for _ in range(3):
            log(unit, "test.event", {}, NOW)
    assert sealed.seal.read().head.number == 3


@pytest.mark.parametrize("moment", ["announced", "settled"])
def test_a_stop_on_either_side_of_the_commit_is_no_cut(sealed, monkeypatch, moment):
    say(sealed, 2)

    class Stopped(BaseException):
        pass

    def stop(*_):
        if moment == "announced":
            write(*_)
        raise Stopped

    write = sealed.seal.announced
    monkeypatch.setattr(sealed.seal, moment, stop)
    with pytest.raises(Stopped):
        say(sealed)
    monkeypatch.undo()
    checked = found(sealed)
    assert (checked.breaks, checked.events) == ([], 2 if moment == "announced" else 3)
    assert "stopped while" in checked.notes[0]
    say(sealed)
    assert (found(sealed).breaks, list(found(sealed).notes)) == ([], [])


def cut(work, number):
    with work.writing() as unit:
        unit.session.execute(delete(EventBodyRow).where(EventBodyRow.number >= number))
        unit.session.execute(delete(EventRow).where(EventRow.number >= number))


def test_a_cut_shows_and_stays_seen_after_more_is_written(sealed):
    say(sealed, 4)
    cut(sealed, 3)
    assert found(sealed).breaks == ["the log is cut off: it ends at entry 2, sealed was 4"]
    say(sealed, 4)
    assert any("cut off or rewritten before" in one for one in found(sealed).breaks)


def test_an_emptied_log_shows(sealed):
    say(sealed, 2)
    cut(sealed, 1)
    assert "cut off" in found(sealed).breaks[0]


def test_a_lost_or_forged_head_shows(sealed, tmp_path):
    say(sealed, 2)
    text = sealed.seal.path.read_bytes()
    sealed.seal.path.write_bytes(text.replace(b'"number": 2', b'"number": 1'))
    assert "did not sign" in found(sealed).breaks[0]
    sealed.seal.path.unlink()
    assert "missing" in found(sealed).breaks[0]


def test_events_written_past_the_site_show(sealed, tmp_path):
    say(sealed, 2)
    elsewhere = Work(f"sqlite:///{tmp_path / 'trainer.db'}")
    say(elsewhere)
    elsewhere.close()
    assert found(sealed).breaks == ["entries after 2 were added without the site's seal"]


def test_an_older_log_is_sealed_from_its_next_event_on(tmp_path):
    before = Work(f"sqlite:///{tmp_path / 'trainer.db'}")
    before.prepare()
    say(before, 2)
    before.close()
    work = opened(tmp_path)
    say(work)
    assert (found(work).breaks, list(found(work).notes)) == ([], ["sealing began after entry 2"])
    with work.writing() as unit:
        unit.session.execute(update(EventRow).where(EventRow.number == 1).values(kind="x"))
    assert found(work).breaks
    work.close()


def many(folder):
    work = Work(f"sqlite:///{folder / 'trainer.db'}", folder)
    say(work, 15)
    work.close()


def test_the_same_on_postgresql_by_many_threads(postgres_server, tmp_path):
    work = Work(fresh_database(postgres_server), tmp_path)
    work.prepare()
    with ThreadPoolExecutor(6) as crowd:
        list(crowd.map(lambda _: say(work, 4), range(6)))
    checked = found(work)
    assert (checked.events, checked.breaks, list(checked.notes)) == (24, [], [])
    cut(work, 20)
    assert "cut off" in found(work).breaks[0]
    work.close()


def test_several_processes_keep_one_head(sealed, tmp_path):
    start = multiprocessing.get_context("spawn")
    crowd = [start.Process(target=many, args=(tmp_path,)) for _ in range(3)]
    for one in crowd:
        one.start()
    for one in crowd:
        one.join()
    checked = found(sealed)
    assert (checked.events, checked.breaks, list(checked.notes)) == (45, [], [])
    assert LogSeal(tmp_path).read().head.number == 45
