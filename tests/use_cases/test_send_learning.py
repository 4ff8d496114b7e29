"""Statements reach the store once, in order, whatever it answers; the secret is in no database."""

import json
from base64 import b64decode
from datetime import timedelta

import pytest

from tests.support import practised
from tests.support.people import NOW, a_person, an_organisation
from tests.support.plain_bank import plain_bank
from tests.support.statements_judge import faults_of_all
from trainer.use_cases import keep_log, send_learning, set_learning_target
from trainer.use_cases.refusals import Forbidden, InputProblem

HOME = "https://quayside.example"
STORE = "https://store.example/xapi"


class Store:
    """A store that keeps what it takes and answers as it is told to."""

    def __init__(self):
        self.taken, self.asked, self.answers = [], [], []
        self.refuses = set()

    def send(self, address, body, headers):
        said = json.loads(body)
        self.asked.append((address, len(said), dict(headers)))
        status = self.answers.pop(0) if self.answers else 200
        if isinstance(status, Exception):
            raise status
        if any(one["id"] in self.refuses for one in said):
            return 400
        if status == 200:
            self.taken += said
        return status


@pytest.fixture
def store():
    return Store()


@pytest.fixture
def plain():
    return plain_bank()


@pytest.fixture
def boss(work, tmp_path):
    someone = a_person(work, "administrator", organisation=an_organisation(work))
    (tmp_path / "keys").mkdir()
    with work.writing(someone.viewer) as unit:
        set_learning_target.name_target(unit, tmp_path / "keys", STORE, "us", "hush", NOW)
    return someone


@pytest.fixture
def learner(work, boss):
    return a_person(work, organisation=boss.organisation)


def run(work, tmp_path, store, minutes=1):
    at = NOW + timedelta(minutes=minutes)
    (done,) = send_learning.send_all(work, tmp_path / "keys", HOME, store.send, at)
    return done


def seen(work, boss):
    with work.reading(boss.viewer) as unit:
        return set_learning_target.see(unit)


def test_what_is_new_is_sent_once_with_the_standard_s_header(
    work, tmp_path, store, boss, learner, plain
):
    for _ in range(3):
        practised.answer(work, plain, learner, right=True)
    done = run(work, tmp_path, store)
    assert (done.sent, done.refused, done.waiting, done.said) == (3, 0, 0, "")
    address, _, headers = store.asked[0]
    assert address == f"{STORE}/statements"
    assert headers["X-Experience-API-Version"] == "2.0.0"
    assert b64decode(headers["Authorization"].removeprefix("Basic ")) == b"us:hush"
    assert run(work, tmp_path, store, 2).sent == 0
    assert faults_of_all(store.taken) == [] and len(store.taken) == 3
    assert seen(work, boss).sent_at == NOW + timedelta(minutes=1)


def test_a_store_that_is_away_is_tried_again_later_and_nothing_is_lost(
    work, tmp_path, store, boss, learner, plain
):
    practised.answer(work, plain, learner, right=True)
    store.answers = [InputProblem("The address cannot be reached", "address", ""), 503, 200]
    assert run(work, tmp_path, store, 1).said == "The address cannot be reached"
    assert run(work, tmp_path, store, 1.5).sent == 0 and len(store.asked) == 1
    assert seen(work, boss).said == "The address cannot be reached"
    assert run(work, tmp_path, store, 3).said == "The store answered with 503"
    assert run(work, tmp_path, store, 4).sent == 0
    assert run(work, tmp_path, store, 6).sent == 1
    assert (seen(work, boss).said, len(store.taken)) == ("", 1)


def test_one_that_is_refused_does_not_hold_up_the_rest(
    work, tmp_path, store, boss, learner, plain, monkeypatch
):
    monkeypatch.setattr(send_learning, "PORTION", 3)
    for number in range(5):
        at = NOW + timedelta(seconds=number)
        practised.answer(work, plain, learner, right=True, at=at)
    first = store.send
    store.answers = [401]
    assert run(work, tmp_path, store, 1).sent == 0
    store.refuses = {waiting_ids(work, boss)[1]}
    done = run(work, tmp_path, store, 3)
    assert (done.sent, done.refused, done.waiting, done.said) == (4, 1, 0, "")
    assert seen(work, boss).refused == 1 and first == store.send
    stamps = [one["timestamp"] for one in store.taken]
    assert stamps == sorted(stamps)


def waiting_ids(work, boss):
    from trainer.store import outgoing_statements

    with work.reading(boss.viewer) as unit:
        return [row.id for row in outgoing_statements.waiting(unit, 10)]


def test_portions_stay_small(work, tmp_path, store, boss, learner, plain, monkeypatch):
    monkeypatch.setattr(send_learning, "LARGEST", 1200)
    for _ in range(4):
        practised.answer(work, plain, learner, right=True)
    run(work, tmp_path, store)
    assert [count for _, count, _ in store.asked] == [1, 1, 1, 1]


def test_nothing_is_sent_before_a_store_is_named_or_after_it_is_stopped(
    work, tmp_path, store, boss, learner, plain
):
    practised.answer(work, plain, learner, right=True)
    with work.writing(boss.viewer) as unit:
        set_learning_target.stop(unit, tmp_path / "keys", NOW)
    assert send_learning.send_all(work, tmp_path / "keys", HOME, store.send, NOW) == []
    assert store.asked == [] and not list((tmp_path / "keys").glob("*.statements"))
    with work.reading() as unit:
        said = str(list(keep_log.exported(unit)))
    assert "statements.on" in said and "statements.off" in said and "hush" not in said


@pytest.mark.parametrize(
    ("address", "name", "secret", "where"),
    [
        ("http://store.example/xapi", "us", "s", "address"),
        ("https://us:s@store.example/xapi", "us", "s", "address"),
        ("store", "us", "s", "address"),
        (f"{STORE}?format=json", "us", "s", "address"),
        (STORE, "a:b", "s", "name"),
        (STORE, "us", "", "secret"),
    ],
)
def test_what_cannot_be_used_is_named(sqlite_work, tmp_path, address, name, secret, where):
    who = a_person(sqlite_work, "administrator")
    with sqlite_work.writing(who.viewer) as unit, pytest.raises(InputProblem) as found:
        set_learning_target.name_target(unit, tmp_path, address, name, secret, NOW)
    assert found.value.where == where


def test_the_kept_secret_is_never_given_to_another_store(sqlite_work, tmp_path):
    who = a_person(sqlite_work, "administrator")
    with sqlite_work.writing(who.viewer) as unit:
        set_learning_target.name_target(unit, tmp_path, STORE, "us", "hush", NOW)
        set_learning_target.name_target(unit, tmp_path, f"{STORE}/two", "us", "", NOW)
        with pytest.raises(InputProblem) as found:
            set_learning_target.name_target(
                unit, tmp_path, "https://other.example/xapi", "us", "", NOW
            )
    assert found.value.where == "secret"


def test_only_administrators_name_a_store(sqlite_work, tmp_path):
    who = a_person(sqlite_work, "instructor")
    with sqlite_work.writing(who.viewer) as unit, pytest.raises(Forbidden):
        set_learning_target.name_target(unit, tmp_path, STORE, "us", "s", NOW)
