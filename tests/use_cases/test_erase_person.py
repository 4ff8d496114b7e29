"""A person is taken out: two steps, a waiting time, a way back; what stays names nobody."""

import json
from datetime import timedelta

import pytest
from sqlalchemy import update

from tests.store.test_personal import OF_A_RECORD
from tests.support.filled import Filled, everything_said
from tests.support.people import NOW, PASSWORD, PASSWORDS, a_person, an_organisation
from tests.support.records import a_record
from trainer.store import erasures, observations, people, records
from trainer.store.evidence_photos import EvidencePhotoRow
from trainer.use_cases import ask_to_leave, follow_changes, keep_people, see_records, verify_record
from trainer.use_cases.erase_person import carry_out, erase_now
from trainer.use_cases.keep_log import check_log, log
from trainer.use_cases.keep_photos import Album
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.sign_in import sign_in
from trainer.use_cases.withdraw import reinstate, suspend

WHY = "An appeal of theirs is still being answered."
LATER = NOW + timedelta(days=8)


@pytest.fixture
def chief(work, place):
    return a_person(work, "administrator", "instructor", organisation=place, name="Ottoline Brask")


@pytest.fixture
def ada(work, place):
    return a_person(work, organisation=place, name="Ada Quill")


@pytest.fixture
def album(tmp_path):
    return Album(tmp_path / "evidence")


def asked(work, someone, now=NOW):
    with work.writing(someone.viewer) as unit:
        ask_to_leave.ask(unit, now)
        return erasures.latest(unit, someone.id).id


def decided(work, by, wish, days=7, now=NOW):
    with work.writing(by.viewer) as unit:
        ask_to_leave.set_day(unit, wish, days, WHY, now)


def done(work, by, album, wish, typed, now=LATER):
    with work.writing(by.viewer) as unit:
        return carry_out(unit, album, wish, typed, now)


def test_from_the_wish_to_the_deed(work, chief, ada, album):
    bo = a_person(work, organisation=ada.organisation, name="Bo Ash")
    photo = album.put(b"work of ada")
    with work.writing(chief.viewer) as unit:
        filled = Filled(unit, ada, bo, f"Ada Quill, {ada.email}", first=True)
        row = unit.session.get(EvidencePhotoRow, filled.rows["evidence_photos"]["id"])
        row.file = photo
        log(unit, "observation.signed", {"reason": "Ada Quill was calm"}, NOW, person_id=ada.id)
    wish = asked(work, ada)
    with pytest.raises(InputProblem, match="Its day has not come"):
        done(work, chief, album, wish, ada.email)
    decided(work, chief, wish)
    with pytest.raises(InputProblem, match="Its day has not come"):
        done(work, chief, album, wish, ada.email, now=NOW + timedelta(days=6))
    with pytest.raises(InputProblem, match="not their address"):
        done(work, chief, album, wish, "somebody@example.org")
    found = done(work, chief, album, wish, ada.email.upper())
    assert (found.number, found.email, found.photos) == (1, ada.email, 1)
    with pytest.raises(NotFound):
        album.get(photo)
    with work.reading(chief.viewer) as unit:
        said = everything_said(unit)
        named = {one[:2] for one in said if "Ada Quill" in one[2] or ada.email in one[2]}
        assert named == {("records", name) for name in OF_A_RECORD - {"document"}}
        assert people.person(unit, ada.id).name == "Person no. 1"
        assert check_log(unit)[1] == []
        (line,) = ask_to_leave.done_here(unit)
        assert (line.number, line.done_by, line.pending) == (1, chief.id, None)
        assert ask_to_leave.waiting(unit) == []
    with pytest.raises(InputProblem, match="address or password"):
        sign_in(work, PASSWORDS, ada.email, PASSWORD, "here", LATER)


def test_a_record_goes_on_to_be_checked_and_may_still_be_stopped(
    work, bank, earned, issuing, chief, ada, album
):
    number = a_record(work, bank, earned, issuing, ada)
    with work.reading() as unit:
        file = see_records.document(unit, number).encode()
    with work.writing() as unit:
        erase_now(unit, album, ada.email, ada.email, NOW)

    def checked(at=NOW):
        with work.reading() as unit:
            return verify_record.check_file(unit, file, "", [], issuing, at)

    assert checked().valid and checked().checks["status"] == "passed"
    with work.writing(chief.viewer) as unit:
        left = see_records.left(unit, bank, number, NOW)
        assert (left.holder, left.word, left.other_name) == ("Person no. 1", "in_force", False)
        assert "credentialSubject" not in json.loads(records.record(unit, number).document)
        with pytest.raises(NotFound):
            see_records.document(unit, number)
        with pytest.raises(NotFound):
            verify_record.show(unit, bank, number, issuing, NOW)
        key = verify_record.key_of_record(unit, number, issuing)
        assert key.method in file.decode()
        suspend(unit, number, "A client was hurt after a fit.", NOW)
        with pytest.raises(InputProblem, match="taken out of this site"):
            reinstate(unit, number, "It was somebody else.", issuing, NOW)
    assert not checked().valid


def test_what_they_did_for_others_stays_by_a_number(work, chief, ada, album):
    ines = a_person(work, "instructor", organisation=ada.organisation, name="Ines Varga")
    with work.writing(ines.viewer) as unit:
        sheet = Filled(unit, ada, ines, "held well", first=True).rows["observations"]["id"]
        erase_now(unit, album, ines.id, ines.email, NOW)
    with work.reading(chief.viewer) as unit:
        assert people.person(unit, ines.id).name == "Person no. 1"
        assert observations.observation(unit, sheet).observer_id == ines.id


def test_the_last_administrator_stays(work, chief, ada, album):
    with pytest.raises(InputProblem, match="no other administrator"):
        asked(work, chief)
    with work.writing() as unit, pytest.raises(InputProblem, match="no other administrator"):
        erase_now(unit, album, chief.email, chief.email, NOW)
    second = a_person(work, "administrator", organisation=ada.organisation)
    wish = asked(work, chief)
    with pytest.raises(Forbidden, match="about you"):
        decided(work, chief, wish)
    decided(work, second, wish)
    with work.writing() as unit:
        keep_people.disable(unit, second.id, True, NOW)
    with pytest.raises(InputProblem, match="no other administrator"):
        done(work, second, album, wish, chief.email)


def test_it_is_called_back_by_either_side_until_it_is_done(work, chief, ada, album):
    wish = asked(work, ada)
    assert asked(work, ada) == wish
    with work.writing(ada.viewer) as unit:
        ask_to_leave.take_back(unit, NOW)
        assert ask_to_leave.mine(unit).state == "called_back"
        with pytest.raises(NotFound):
            ask_to_leave.take_back(unit, NOW)
    wish = asked(work, ada, LATER)
    decided(work, chief, wish, now=LATER)
    with work.writing(chief.viewer) as unit:
        with pytest.raises(InputProblem, match="letters"):
            ask_to_leave.call_back(unit, wish, "no", LATER)
        ask_to_leave.call_back(unit, wish, WHY, LATER)
        with pytest.raises(NotFound):
            ask_to_leave.see(unit, wish)
    with pytest.raises(NotFound):
        done(work, chief, album, wish, ada.email, LATER + timedelta(days=30))
    with work.reading(ada.viewer) as unit:
        assert ask_to_leave.mine(unit).ended_why == WHY


# GDPR 12(3), from memory: within one month of receipt of the request.
def test_a_month_is_the_longest_and_a_reason_is_given(work, chief, ada):
    wish = asked(work, ada)
    decided(work, chief, wish, days=28)
    with pytest.raises(InputProblem, match="later than a month"):
        decided(work, chief, wish, days=29)
    with pytest.raises(InputProblem, match="later than a month"):
        decided(work, chief, wish, days=28, now=LATER)
    with work.writing(chief.viewer) as unit, pytest.raises(InputProblem, match="letters"):
        ask_to_leave.set_day(unit, wish, 3, "soon", NOW)
    decided(work, chief, wish, days=0, now=NOW + timedelta(days=60))


def test_where_two_houses_know_somebody_only_they_ask_and_both_may_stop_it(work, chief, ada):
    salon = an_organisation(work, kind="salon")
    boss = a_person(work, "administrator", organisation=salon)
    with work.writing(chief.viewer) as unit:
        wish = ask_to_leave.ask_for(unit, ada.id, NOW)
    with work.writing(chief.viewer) as unit:
        ask_to_leave.call_back(unit, wish, WHY, NOW)
        keep_people.join(unit, ada.id, salon, ["apprentice"], NOW)
    with work.writing(chief.viewer) as unit, pytest.raises(InputProblem, match="other houses"):
        ask_to_leave.ask_for(unit, ada.id, NOW)
    wish = asked(work, ada)
    with pytest.raises(InputProblem, match="7 days at least"):
        decided(work, chief, wish, days=1)
    decided(work, chief, wish, days=7)
    stranger = a_person(work, "administrator")
    with work.reading(stranger.viewer) as unit, pytest.raises(NotFound):
        ask_to_leave.see(unit, wish)
    with work.writing(boss.viewer) as unit:
        assert [one.id for one in ask_to_leave.waiting(unit)] == [wish]
        ask_to_leave.call_back(unit, wish, WHY, NOW)


@pytest.mark.parametrize("roles", [("apprentice",), ("instructor",), ("salon_manager",)])
def test_nobody_else_decides(work, ada, roles):
    other = a_person(work, *roles, organisation=ada.organisation)
    wish = asked(work, ada)
    for deed in (
        lambda unit: ask_to_leave.see(unit, wish),
        lambda unit: ask_to_leave.waiting(unit),
        lambda unit: ask_to_leave.set_day(unit, wish, 7, WHY, NOW),
        lambda unit: ask_to_leave.ask_for(unit, ada.id, NOW),
    ):
        with work.writing(other.viewer) as unit, pytest.raises(Forbidden):
            deed(unit)


def test_other_programs_learn_that_somebody_is_gone(work, ada, chief, album):
    boss = a_person(work, "salon_manager", organisation=ada.organisation)
    with work.writing() as unit:
        erase_now(unit, album, ada.id, ada.email, NOW)
    with work.reading(boss.viewer) as unit:
        told = follow_changes.follow(unit, "", 50).changes
    assert [one.kind for one in told if one.person_id == ada.id] == ["person.erased"]


def test_after_an_older_copy_came_back_it_is_done_again_by_the_same_id(work, ada, album):
    with work.writing() as unit:
        first = erase_now(unit, album, ada.id, ada.email, NOW)
    with work.writing() as unit:
        row = people.person(unit, ada.id)
        row.name, row.email = "Ada Quill", ada.email
    with work.writing() as unit:
        again = erase_now(unit, album, first.person_id, ada.email, LATER)
        assert again.number == 2 and people.person(unit, ada.id).name == "Person no. 2"
        assert check_log(unit)[1] == []


def test_nothing_is_left_in_the_file_of_the_database_either(sqlite_work, tmp_path, album):
    """SQLite's secure_delete; its write-ahead log goes with the last connection that is closed."""
    ada = a_person(sqlite_work, name="Ada Quill")
    bo = a_person(sqlite_work, organisation=ada.organisation, name="Bo Ash")
    with sqlite_work.writing() as unit:
        Filled(unit, ada, bo, "Ada Quill wrote", first=True)
        plain = dict.fromkeys(OF_A_RECORD - {"services", "document"}, "plain") | {"services": []}
        unit.session.execute(update(records.RecordRow).values(plain))
    with sqlite_work.writing() as unit:
        erase_now(unit, album, ada.email, ada.email, NOW)
    sqlite_work.close()
    left = b"".join(one.read_bytes() for one in tmp_path.glob("trainer.db*"))
    assert b"Bo Ash" in left
    assert b"Ada Quill" not in left and ada.email.encode() not in left


def test_failed_sign_ins_of_theirs_leave_no_trace(work, ada, album):
    with pytest.raises(InputProblem):
        sign_in(work, PASSWORDS, ada.email, "not it", "here", NOW)
    with work.writing() as unit:
        before = unit.session.query(people.SignInFailureRow).count()
        erase_now(unit, album, ada.email, ada.email, NOW)
        after = unit.session.query(people.SignInFailureRow).count()
    assert (before, after) == (2, 1)  # what is left is of the place it came from
