"""Changes by a place in the log: nothing is left out, nothing comes twice, whoever commits when."""

import threading

import pytest

from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import a_record
from trainer.use_cases import follow_changes, keep_log, keep_people, withdraw
from trainer.use_cases.refusals import Forbidden, NotFound


@pytest.fixture
def desk(work):
    return a_person(work, "salon_manager", organisation=an_organisation(work, kind="salon"))


@pytest.fixture
def stylist(work, desk):
    """Trained at an academy, works at the salon."""
    someone = a_person(work)
    with work.writing() as unit:
        keep_people.join(unit, someone.id, desk.organisation, ("apprentice",), NOW)
    return someone


def follow(work, who, after="", count=50):
    with work.reading(who.viewer) as unit:
        return follow_changes.follow(unit, after, count)


def kinds(found):
    return [one.kind for one in found.changes]


def test_what_another_academy_decides_reaches_the_salon(work, bank, earned, issuing, desk, stylist):
    begun = follow(work, desk)
    assert (kinds(begun), begun.more) == (["member.changed"] * 2, False)
    record = a_record(work, bank, earned, issuing, stylist)
    boss = a_person(work, "instructor", organisation=stylist.organisation)
    with work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record, "Complaint being looked into.", NOW)
    found = follow(work, desk, begun.next)
    assert kinds(found) == ["record.issued", "record.suspended"]
    assert {(one.person_id, one.method, one.record_id) for one in found.changes} == {
        (stylist.id, "tape_in", record)
    }
    assert kinds(follow(work, desk, found.next)) == []


def test_pages_join_without_gap_or_repetition(work, desk, stylist):
    with work.writing() as unit:
        for number in range(9):
            about = {"method": f"m{number}", "passed": number % 2 == 0}
            keep_log.log(unit, "sitting.decided", about, NOW, person_id=stylist.id)
            keep_log.log(unit, "sitting.decided", about, NOW, person_id="f" * 32)
    seen, after, more = [], "", True
    while more:
        page = follow(work, desk, after, 2)
        assert len(page.changes) <= 2
        seen += [one.method for one in page.changes if one.kind == "assessment.passed"]
        after, more = page.next, page.more
    assert seen == ["m0", "m2", "m4", "m6", "m8"]


def test_a_long_log_is_looked_through_piece_by_piece(work, desk, stylist, monkeypatch):
    monkeypatch.setattr(follow_changes, "WINDOW", 3)
    pages, after, more = [], "", True
    while more:
        page = follow(work, desk, after)
        pages.append(kinds(page))
        after, more = page.next, page.more
    assert len(pages) > 1
    assert sum(pages, []) == ["member.changed"] * 2


def test_a_change_that_commits_late_is_not_skipped(work, desk, stylist):
    """One writes first and commits last; a second waits for it. A reader between them sees
    neither, and both afterwards."""
    begun = follow(work, desk)
    written, commit = threading.Event(), threading.Event()

    def slow():
        with work.writing() as unit:
            about = {"method": "slow", "passed": True}
            keep_log.log(unit, "sitting.decided", about, NOW, person_id=stylist.id)
            written.set()
            commit.wait(60)

    def quick():
        with work.writing() as unit:
            about = {"method": "quick", "passed": True}
            keep_log.log(unit, "sitting.decided", about, NOW, person_id=stylist.id)

    first, second = threading.Thread(target=slow), threading.Thread(target=quick)
    first.start()
    assert written.wait(60)
    second.start()
    second.join(0.2)
    between = follow(work, desk, begun.next)
    commit.set()
    first.join(60), second.join(60)
    after = follow(work, desk, between.next)
    assert [one.method for one in (*between.changes, *after.changes)] == ["slow", "quick"]
    assert between.changes == []


@pytest.mark.parametrize("after", ["nonsense", "999999-0000000000000000", "1-0000000000000000"])
def test_a_place_that_this_log_does_not_hold_is_unknown(work, desk, after):
    with pytest.raises(NotFound):
        follow(work, desk, after)


def test_only_the_desk_is_told(work, stylist):
    with pytest.raises(Forbidden):
        follow(work, stylist)
