"""Rosters ask, they take nobody in: what is told before and after, and a file that comes again."""

import pytest

from tests.support.people import NOW, a_person
from tests.support.rosters import a_set, an_academy, enrolment, role, user
from tests.use_cases.test_take_roster import (
    LASTS,
    STAMP,
    asked,
    classes,
    looked,
    standing,
    taken,
    two,
)
from trainer.store import people
from trainer.use_cases import answer_offer, keep_people, offer_membership, take_roster
from trainer.use_cases.plan_roster import CHANGED, DECLINED, ENDED, KINDS, NEW, SAME, WAITING
from trainer.use_cases.work import Viewer


@pytest.fixture
def boss(sqlite_work):
    return a_person(sqlite_work, "administrator", name="Odile Farr")


def counted(work, boss, content):
    found = looked(work, boss, content)
    assert list(found.faults) == []
    return {kind: len(found.plan.of(kind)) for kind in KINDS if found.plan.of(kind)}


def test_a_look_and_a_taking_tell_nothing_of_accounts_elsewhere(work):
    """The same file, once where both addresses are known on the site and once where none is."""
    told = []
    for known in (False, True):
        if known:
            for number in (1, 2):
                with work.writing() as unit:
                    email = user(number)["email"]
                    keep_people.add_person(unit, f"Secret Name {number}", email, NOW)
        boss = a_person(work, "administrator")
        plan = looked(work, boss, two()).plan
        rows = asked(work, boss, two())
        after = looked(work, boss, two()).plan
        told.append(
            [
                plan.steps,
                plan.fingerprint,
                [(one.name, one.email, bool(one.token)) for one in rows],
                [(s.kind, s.name, s.email, s.roles) for s in after.steps],
                standing(work, boss).keys() - {boss.email},
            ]
        )
    assert told[0] == told[1]


def test_whoever_is_asked_is_told_as_such_and_a_file_again_changes_nothing(sqlite_work, boss):
    content = two(**classes("Friday", places=[enrolment(1)]))
    assert len(asked(sqlite_work, boss, content)) == 2
    assert counted(sqlite_work, boss, content) == {WAITING: 2}
    assert asked(sqlite_work, boss, content) == []
    assert standing(sqlite_work, boss) == {boss.email: {"administrator"}, "group Friday": set()}
    with sqlite_work.writing(boss.viewer) as unit:
        offers = offer_membership.list_offers(unit, NOW)
    assert [(one.email, one.roles, one.groups) for one in offers] == [
        ("u1@roster.example", ("apprentice",), ("Friday",)),
        ("u2@roster.example", ("instructor",), ()),
    ]


def test_an_offer_changes_and_ends_with_the_file(sqlite_work, boss):
    asked(sqlite_work, boss, two())
    (one, _) = people_asked(sqlite_work, boss)
    other = an_academy([user(1, "Ada Quill")], [role(1, "teacher")])
    assert counted(sqlite_work, boss, other) == {CHANGED: 1, ENDED: 1}
    assert asked(sqlite_work, boss, other) == []
    (left,) = people_asked(sqlite_work, boss)
    assert (left.id, left.roles) == (one.id, ("instructor",))
    assert counted(sqlite_work, boss, other) == {WAITING: 1}


def test_a_no_is_not_asked_again_by_a_file_and_an_offer_that_ran_out_is(sqlite_work, boss):
    first, _ = asked(sqlite_work, boss, two())
    with sqlite_work.writing() as unit:
        answer_offer.decline_by_link(unit, first.token, NOW)
    assert counted(sqlite_work, boss, two()) == {WAITING: 1, DECLINED: 1}
    assert asked(sqlite_work, boss, two()) == []
    later = NOW + LASTS
    with sqlite_work.writing(boss.viewer) as unit:
        plan = take_roster.look(unit, two(), later).plan
        assert [s.name for s in plan.of(NEW)] == ["Bo Ash"]
        assert [one.name for one in take_roster.take(unit, two(), LASTS, later)] == ["Bo Ash"]


def test_whoever_has_left_is_asked_again_by_the_address_they_had(sqlite_work, boss):
    """Also by a file that speaks of their role alone, with no address in it."""
    taken(sqlite_work, boss, two())
    with sqlite_work.writing(boss.viewer) as unit:
        ada = people.by_email(unit, "u1@roster.example").id
        keep_people.end_membership(unit, ada, NOW)
        people.person(unit, ada).name = "Ada Later"
    delta = a_set({"roles.csv": "delta"}, roles=[role(1, "teacher", **STAMP)])
    (step,) = looked(sqlite_work, boss, delta).plan.of(NEW)
    assert (step.name, step.email) == ("Ada Quill", "u1@roster.example")
    asked(sqlite_work, boss, delta)
    assert counted(sqlite_work, boss, delta) == {SAME: 1, WAITING: 1}
    assert counted(sqlite_work, boss, two()) == {SAME: 1, CHANGED: 1}
    with sqlite_work.writing(Viewer(ada)) as unit:
        answer_offer.accept(unit, answer_offer.mine(unit, NOW)[0].id, NOW)
    assert counted(sqlite_work, boss, delta) == {SAME: 2}


def test_an_administrator_who_is_only_asked_does_not_keep_the_place(sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    mine = user(1, "Odile Farr", email=boss.email)
    taken(sqlite_work, boss, an_academy([mine], [role(1, "administrator")]))
    other = a_person(sqlite_work, "administrator", organisation=boss.organisation)
    with sqlite_work.writing(boss.viewer) as unit:
        keep_people.change_member(unit, other.id, ["apprentice"], [], NOW)
    machine = Viewer("", boss.organisation, frozenset({"administrator"}))
    next_one = an_academy([user(2, "Bo Ash")], [role(2, "administrator")])
    with sqlite_work.reading(machine) as unit:
        (fault,) = take_roster.look(unit, next_one, NOW).faults
    assert "leave nobody who administers" in fault.what


def people_asked(work, boss):
    with work.reading(boss.viewer) as unit:
        return offer_membership.list_offers(unit, NOW)
