"""An appeal that is upheld is put right in the same step, by the one who answers, or not at all."""

from datetime import timedelta

import pytest
from sqlalchemy import event

from tests.support.people import NOW, a_person
from tests.support.practised import a_sitting
from tests.support.records import a_record, signing_with
from tests.use_cases.test_appeal import FOUND, seen, send
from trainer.store import contests, events, records, sittings, standings
from trainer.store.base import new_id
from trainer.use_cases import certify, remedy_appeal, sign_off, sit_assessment, watch_again
from trainer.use_cases.keep_log import check_log
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.sign_off import Proven, Watched
from trainer.use_cases.withdraw import reinstate, suspend

METHOD = "tape_in"
DAYS = 7
SAT = NOW - timedelta(hours=3)
SOON = NOW + timedelta(hours=2)


@pytest.fixture
def chief(work):
    return a_person(work, "administrator", name="Ottoline Brask")


@pytest.fixture
def boss(work, chief):
    return a_person(work, "instructor", organisation=chief.organisation, name="Ines Varga")


@pytest.fixture
def learner(work, chief):
    return a_person(work, organisation=chief.organisation, name="Mina Torvald")


@pytest.fixture
def place_mate(work, chief):
    return a_person(work, "instructor", organisation=chief.organisation, name="Kofi Aldersey")


def sat(work, someone, passed=False, at=SAT, **changed):
    with work.writing(someone.viewer) as unit:
        row = a_sitting(someone, METHOD, passed, at)
        for name, value in changed.items():
            setattr(row, name, value)
        unit.session.add(row)
        unit.session.flush()
        return row.id


def appealed(work, bank, learner, about="assessment"):
    return send(work, bank, learner, about=about, method=METHOD)


def offered(work, by, sent):
    with work.reading(by.viewer) as unit:
        return [one.id for one in remedy_appeal.remedies(unit, sent, DAYS, SOON)]


def uphold(work, bank, by, sent, wanted, issuing, words=FOUND):
    with work.writing(by.viewer) as unit:
        return remedy_appeal.uphold(unit, bank, sent, words, wanted, DAYS, issuing, SOON)


def kinds(work, by):
    with work.reading(by.viewer) as unit:
        return [row.kind for row in events.all_in_order(unit)]


def test_the_sitting_is_set_aside_with_the_answer(work, bank, learner, chief, issuing):
    sitting = sat(work, learner)
    sent = appealed(work, bank, learner)
    assert offered(work, chief, sent) == [f"set_aside:{sitting}", f"no_wait:{sitting}", "none"]
    uphold(work, bank, chief, sent, f"set_aside:{sitting}", issuing)
    told = seen(work, learner, sent)
    assert (told.upheld, told.answer, told.remedy) == (True, FOUND, "set_aside")
    with work.reading(learner.viewer) as unit:
        row = sittings.latest(unit, learner.id, METHOD)
        assert not row.counts and FOUND in row.outcome["set_aside"]
        assert sit_assessment.again_from(row, DAYS, SOON) is None
        assert check_log(unit)[1] == []
    assert kinds(work, chief)[-2:] == ["appeal.upheld", "sitting.set_aside"]


def test_the_wait_alone_is_ended_and_the_result_stands(work, bank, learner, chief, issuing):
    sitting = sat(work, learner)
    sent = appealed(work, bank, learner)
    uphold(work, bank, chief, sent, f"no_wait:{sitting}", issuing, words=FOUND * 20)
    with work.reading(learner.viewer) as unit:
        row = sittings.latest(unit, learner.id, METHOD)
        assert row.counts and row.passed is False
        assert len(row.outcome["no_wait"]) == 1000
        assert sit_assessment.again_from(row, DAYS, SOON) is None
    assert kinds(work, chief)[-1] == "sitting.wait_ended"


def test_a_contested_question_is_withdrawn_by_an_instructor(
    work, bank, learner, boss, chief, issuing, monkeypatch
):
    sitting = sat(work, learner, passed=True)
    with work.writing(learner.viewer) as unit:
        values = {"sitting_id": sitting, "position": 4, "person_id": learner.id}
        values |= {"organisation_id": learner.organisation, "comment": "Two are right."}
        values |= {"sent_at": NOW, "upheld": None, "answer": "", "answered_by": ""}
        contests.keep_once(unit, {"id": "c" * 32, "answered_at": None} | values)
    sent = appealed(work, bank, learner)
    assert offered(work, chief, sent) == [f"set_aside:{sitting}", "none"]
    wanted = f"question:{'c' * 32}"
    assert wanted in offered(work, boss, sent)
    done = []
    monkeypatch.setattr(
        "trainer.use_cases.contest_question._withdraw", lambda *said: done.append(said[3]) or 1
    )
    uphold(work, bank, boss, sent, wanted, issuing)
    with work.reading(boss.viewer) as unit:
        row = contests.contest(unit, "c" * 32)
    assert (row.upheld, row.answered_by, done) == (True, boss.id, ["one"])
    assert FOUND in row.answer


def test_a_suspended_record_holds_again(work, bank, learner, boss, chief, earned, issuing):
    number = a_record(work, bank, earned, issuing, learner, METHOD)
    with work.writing(boss.viewer) as unit:
        suspend(unit, number, "The sheet says forced.", NOW)
    sent = appealed(work, bank, learner, "record")
    assert offered(work, chief, sent) == [f"reinstate:{number}", "none"]
    uphold(work, bank, chief, sent, f"reinstate:{number}", issuing)
    with work.reading(learner.viewer) as unit:
        newest = records.held(unit, learner.id, METHOD)[0]
        assert (newest.state, newest.basis) == ("in_force", f"reinstates:{number}")
    with pytest.raises(Forbidden, match="took part"):
        uphold(work, bank, boss, send(work, bank, learner, "two"), "none", issuing)


def test_it_is_all_or_nothing(work, bank, learner, chief, issuing, monkeypatch):
    sitting = sat(work, learner)
    sent = appealed(work, bank, learner)
    with pytest.raises(InputProblem, match="Nothing is chosen"):
        uphold(work, bank, chief, sent, "", issuing)
    with pytest.raises(InputProblem, match="Nothing is chosen"):
        uphold(work, bank, chief, sent, f"set_aside:{new_id()}", issuing)
    with pytest.raises(InputProblem, match="Say what you looked at"):
        uphold(work, bank, chief, sent, f"set_aside:{sitting}", issuing, words="no")
    monkeypatch.setattr(records, "resting_on", lambda _unit, basis: basis)
    with pytest.raises(InputProblem, match="Nothing is chosen"):
        uphold(work, bank, chief, sent, f"set_aside:{sitting}", issuing)
    assert seen(work, learner, sent).answered_at is None


def test_only_what_the_viewer_may_decide_and_what_was_sat_before_is_offered(
    work, bank, learner, boss, chief, issuing
):
    sitting = sat(work, learner, opened_by=boss.id)
    sat(work, learner, at=NOW + timedelta(hours=1))
    sat(work, learner, at=SAT - timedelta(days=1), outcome={"set_aside": "alarm"})
    sent = appealed(work, bank, learner)
    assert offered(work, chief, sent) == [f"set_aside:{sitting}", "none"]
    assert offered(work, boss, sent) == ["none"]
    with work.reading(learner.viewer) as unit, pytest.raises(Forbidden):
        remedy_appeal.remedies(unit, sent, DAYS, SOON)
    stranger = a_person(work, "administrator")
    with work.reading(stranger.viewer) as unit, pytest.raises(NotFound):
        remedy_appeal.remedies(unit, sent, DAYS, SOON)
    assert offered(work, chief, send(work, bank, learner, "two", about="sign_off")) == ["none"]
    uphold(work, bank, chief, sent, "none", issuing)
    assert seen(work, learner, sent).remedy == "none"


def signed(work, bank, issuing, by, learner, missed=0, at=SAT, service="fit"):
    ids = sorted(one.id for one in bank.criteria_of(METHOD, service))
    step = "Soak each bond fully before you touch the tool."
    watched = Watched(learner.id, METHOD, service, ids[missed:], "", at.date(), next_step=step)
    with work.writing(by.viewer) as unit:
        return sign_off.sign(unit, bank, watched, Proven(by.id), signing_with(issuing), at).id


def fit_of(work, bank, learner):
    with work.reading() as unit:
        found = certify.needed(unit, bank, learner.id, METHOD, SOON)
    return next(one.state for one in found.requirements if one.what == "fit")


def again(work, by):
    with work.reading(by.viewer) as unit:
        return [(one.name, one.service, one.mine) for one in watch_again.waiting(unit)]


def test_a_sheet_is_set_aside_and_somebody_else_watches_again(
    work, bank, learner, boss, chief, place_mate, issuing
):
    sheet = signed(work, bank, issuing, boss, learner, missed=1)
    assert fit_of(work, bank, learner) == "not_met"
    sent = appealed(work, bank, learner, about="sign_off")
    assert offered(work, boss, sent) == ["none"]
    assert offered(work, chief, sent) == [f"watch_again:{sheet}", "none"]
    uphold(work, bank, chief, sent, f"watch_again:{sheet}", issuing)
    assert fit_of(work, bank, learner) == "set_aside"
    assert kinds(work, chief)[-2:] == ["appeal.upheld", "observation.set_aside"]
    with work.reading(learner.viewer) as unit:
        told = sign_off.see(unit, bank, sheet)
        assert FOUND in told.line.set_aside and not told.counts
        assert check_log(unit)[1] == []
    assert again(work, boss) == [("Mina Torvald", "fit", True)]
    assert again(work, place_mate) == [("Mina Torvald", "fit", False)]
    with pytest.raises(Forbidden, match="another instructor"):
        signed(work, bank, issuing, boss, learner, at=SOON)
    signed(work, bank, issuing, place_mate, learner, at=SOON)
    assert fit_of(work, bank, learner) == "met" and again(work, place_mate) == []
    signed(work, bank, issuing, boss, learner, at=SOON + timedelta(hours=1))


def test_a_sheet_that_no_longer_decides_is_not_set_aside(work, bank, learner, boss, chief, issuing):
    old = signed(work, bank, issuing, boss, learner, missed=1)
    latest = signed(work, bank, issuing, boss, learner, at=SAT + timedelta(hours=1))
    sent = appealed(work, bank, learner, about="sign_off")
    assert offered(work, chief, sent) == [f"unsign:{latest}", "none"]
    with pytest.raises(InputProblem, match="no longer"), work.writing(chief.viewer) as unit:
        watch_again.set_aside(unit, old, FOUND, SOON)
    stranger = a_person(work, "administrator")
    with pytest.raises(NotFound), work.writing(stranger.viewer) as unit:
        watch_again.set_aside(unit, old, FOUND, SOON)


def test_the_one_who_watched_does_not_set_it_aside(work, bank, learner, boss, issuing):
    sheet = signed(work, bank, issuing, boss, learner, missed=1)
    with pytest.raises(Forbidden), work.writing(boss.viewer) as unit:
        watch_again.set_aside(unit, sheet, FOUND, SOON)


def states(work, learner):
    with work.reading() as unit:
        return sorted(row.state for row in records.held(unit, learner.id, METHOD))


def second_day(work, learner):
    """The day on which a second observer had signed the service off, as the summary has it."""
    with work.reading() as unit:
        rows = standings.of_person(unit, learner.id, METHOD)
    return next(row.second_on for row in rows if row.service == "fit")


def test_a_sheet_that_said_competent_goes_with_the_record_that_rests_on_it(
    work, bank, learner, boss, chief, place_mate, issuing
):
    """The same work brings no other record: not by lifting the suspension, nor by a new sitting."""
    sat(work, learner, passed=True)
    signed(work, bank, issuing, place_mate, learner, at=SAT - timedelta(hours=1))
    for service in ("maintain", "remove", "fit"):
        sheet = signed(work, bank, issuing, boss, learner, service=service)
    assert states(work, learner) == ["in_force"] and second_day(work, learner) == SAT.date()
    sent = appealed(work, bank, learner, about="sign_off")
    assert f"unsign:{sheet}" in offered(work, chief, sent)
    uphold(work, bank, chief, sent, f"unsign:{sheet}", issuing)
    assert states(work, learner) == ["suspended"]
    assert (fit_of(work, bank, learner), second_day(work, learner)) == ("set_aside", None)
    assert kinds(work, chief)[-3:] == [
        "appeal.upheld",
        "observation.set_aside",
        "record.suspended",
    ]
    assert again(work, place_mate) == [("Mina Torvald", "fit", False)]
    other = send(work, bank, learner, "two", about="record", method=METHOD)
    assert offered(work, chief, other) == ["none"]
    with work.writing(chief.viewer) as unit:
        (record,) = records.held(unit, learner.id, METHOD)
        with pytest.raises(InputProblem, match="was set aside"):
            reinstate(unit, record.id, "It was only the one sheet.", issuing, SOON)
        certify.consider(unit, bank, learner.id, learner.organisation, METHOD, issuing, SOON)
    assert states(work, learner) == ["suspended"]
    signed(work, bank, issuing, place_mate, learner, at=SOON)
    with work.writing(chief.viewer) as unit:
        reinstate(unit, record.id, "Somebody else has watched it.", issuing, SOON)
    assert states(work, learner) == ["in_force", "suspended"]


def test_a_record_from_before_the_work_stands(work, bank, learner, boss, chief, issuing):
    sat(work, learner, passed=True, at=SAT - timedelta(hours=1))
    for service in ("maintain", "remove", "fit"):
        signed(work, bank, issuing, boss, learner, service=service)
    later = signed(work, bank, issuing, boss, learner, at=SAT + timedelta(hours=1))
    sent = appealed(work, bank, learner, about="sign_off")
    uphold(work, bank, chief, sent, f"unsign:{later}", issuing)
    assert states(work, learner) == ["in_force"]


def test_what_is_to_be_watched_again_takes_as_many_queries_for_many(
    work, bank, chief, boss, place_mate, issuing
):
    def queries():
        count = []
        with work.reading(place_mate.viewer) as unit:
            event.listen(unit.connection, "before_cursor_execute", lambda *_: count.append(1))
            found = watch_again.waiting(unit)
        return len(found), len(count)

    counted = []
    for _ in range(3):
        learner = a_person(work, organisation=chief.organisation)
        sheet = signed(work, bank, issuing, boss, learner, missed=1)
        with work.writing(chief.viewer) as unit:
            watch_again.set_aside(unit, sheet, FOUND, SOON)
        counted.append(queries())
    assert [found for found, _ in counted] == [1, 2, 3]
    assert len({count for _, count in counted}) == 1
