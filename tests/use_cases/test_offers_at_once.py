"""Two at once: houses, administrators and the person themselves; nobody meets a fault of ours."""

from datetime import timedelta
from threading import Event

import pytest

from tests.support.at_once import HELD, both, meeting
from tests.support.people import NOW, PASSWORD, PASSWORDS, a_person, join_by
from tests.use_cases.test_take_roster import classes, two
from trainer.store import people
from trainer.use_cases import answer_offer, keep_people, offer_membership, take_roster
from trainer.use_cases.offer_membership import Wanted
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.work import Viewer

LASTS = timedelta(days=14)
NEW = "nobody.yet@example.org"


@pytest.fixture
def boss(work):
    return a_person(work, "administrator", name="Odile Farr")


def ask(work, boss, email=NEW):
    with work.writing(boss.viewer) as unit:
        return offer_membership.offer(unit, Wanted("Nell Rowe", email, ["apprentice"]), LASTS, NOW)


def test_two_houses_links_to_one_new_address_make_one_account(work, boss, monkeypatch):
    links = [ask(work, boss), ask(work, a_person(work, "administrator"))]
    meeting(monkeypatch, people, "by_email")
    found = both(*(lambda one=one: join_by(work, one) for one in links))
    assert sorted(map(type, found), key=str) == sorted([type(None), InputProblem], key=str)
    (refused,) = [one for one in found if one]
    assert "this address has one" in refused.what
    with work.reading() as unit:
        ada = people.by_email(unit, NEW)
        assert PASSWORDS.fits(ada.password_hash, PASSWORD)
        assert len(answer_offer.mine(type(unit)(unit.connection, Viewer(ada.id)), NOW)) == 1


def test_withdrawn_while_they_say_yes(work, boss):
    """Whoever comes second is told so, and never that the other thing has happened."""
    fen = a_person(work)
    ask(work, boss, fen.email)
    with work.reading(boss.viewer) as unit:
        (one,) = offer_membership.list_offers(unit, NOW)
    said, told = Event(), Event()

    def accept():
        with work.writing(Viewer(fen.id)) as unit:
            answer_offer.accept(unit, one.id, NOW)
            unit.flush()
            said.set()
            told.wait(HELD)

    def withdraw():
        said.wait()
        with work.writing(boss.viewer) as unit:
            offer_membership.withdraw(unit, one.id, NOW)
        told.set()

    assert [type(one) for one in both(accept, withdraw)] == [type(None), NotFound]
    with work.reading(boss.viewer) as unit:
        assert keep_people.see_member(unit, fen.id).email == fen.email


def test_one_roster_taken_by_two_asks_once(work, boss, monkeypatch):
    other = a_person(work, "administrator", organisation=boss.organisation)
    with work.reading(boss.viewer) as unit:
        seen = take_roster.look(unit, two(), NOW).plan.fingerprint
    meeting(monkeypatch, take_roster, "look")

    def take(who):
        with work.writing(who.viewer) as unit:
            return take_roster.take(unit, two(), LASTS, NOW, seen)

    found = both(lambda: take(boss), lambda: take(other))
    (asked,) = [one for one in found if isinstance(one, list)]
    (refused,) = [one for one in found if isinstance(one, InputProblem)]
    assert "has changed since you looked" in refused.what
    for one in asked:
        join_by(work, one.token)


def test_one_group_made_by_two(work, boss, monkeypatch):
    meeting(monkeypatch, keep_people, "list_groups")

    def make():
        with work.writing(boss.viewer) as unit:
            keep_people.make_group(unit, "Friday")

    (refused,) = [one for one in both(make, make) if one]
    assert "already a group" in refused.what


def test_a_group_is_the_same_however_its_name_is_spaced(sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    with sqlite_work.writing(boss.viewer) as unit:
        keep_people.make_group(unit, "Friday  evening ")
    with sqlite_work.writing(boss.viewer) as unit, pytest.raises(InputProblem, match="already"):
        keep_people.make_group(unit, " Friday   evening")


def test_a_class_of_a_file_is_the_same_however_its_name_is_spaced(sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    for _ in range(2):
        with sqlite_work.writing(boss.viewer) as unit:
            take_roster.take(unit, two(**classes("Friday  evening")), LASTS, NOW)
    with sqlite_work.reading(boss.viewer) as unit:
        assert [name for _, name in keep_people.list_groups(unit)] == ["Friday evening"]
