"""Two observers: blind to each other, both needed, and how far they agree."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from tests.support.practised import a_sitting
from tests.support.records import issuing_in, signing_with
from trainer.store import events, records
from trainer.use_cases import (
    certify,
    review_cohort,
    second_sheet,
    see_signed,
    sign_off,
    watch_together,
)
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.see_needs import needs
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.sign_off import Watched

METHOD = "tape_in"
NEXT = "Take thinner slices, then show it again."


@pytest.fixture
def boss(work, place):
    return a_person(work, "instructor", organisation=place, name="Petra Lindqvist")


@pytest.fixture
def other(work, place):
    return a_person(work, "instructor", organisation=place, name="Kofi Aldersey")


@pytest.fixture
def chief(work, place):
    return a_person(work, "administrator", organisation=place)


@pytest.fixture
def learner(work, place):
    return a_person(work, organisation=place, name="Ama Owusu")


@pytest.fixture
def asked_for(work, chief):
    with work.writing(chief.viewer) as unit:
        watch_together.ask_for_two(unit, True, NOW)


@pytest.fixture
def signing(tmp_path):
    return signing_with(issuing_in(tmp_path))


def ids(bank, service="fit"):
    return frozenset(one.id for one in bank.criteria_of(METHOD, service))


def sign(work, bank, signing, by, learner, service="fit", missed=0, **more):
    met = frozenset(sorted(ids(bank, service))[missed:])
    watched = Watched(learner.id, METHOD, service, met, "", NOW.date(), next_step=NEXT)
    with work.writing(by.viewer) as unit:
        proven = Proven(by.id)
        return sign_off.sign(unit, bank, replace(watched, **more), proven, signing, NOW)


def states(work, bank, learner):
    with work.reading() as unit:
        found = certify.needed(unit, bank, learner.id, METHOD, NOW)
    return {one.what: one.state for one in found.requirements}


@pytest.mark.usefixtures("asked_for")
def test_one_sheet_is_not_enough_and_two_are(work, bank, signing, boss, other, learner):
    first = sign(work, bank, signing, boss, learner)
    assert first.waits
    assert states(work, bank, learner)["fit"] == "second_missing"
    with work.writing() as unit:
        unit.session.add(a_sitting(learner, METHOD, True))
        certify.consider(unit, bank, learner.id, learner.organisation, METHOD, signing.issuing, NOW)
    with work.reading(boss.viewer) as unit:
        (waits,) = review_cohort.waiting(unit, bank, NOW)
    assert waits.services == ("maintain", "remove")
    second = sign(work, bank, signing, other, learner, second_of=first.id)
    assert not second.waits
    assert states(work, bank, learner)["fit"] == "met"
    with work.reading(boss.viewer) as unit:
        seen = sign_off.see(unit, bank, first.id)
        assert seen.counts and seen.other.observer == "Kofi Aldersey"
        evidence = certify.gather(unit, learner.id, METHOD)
    assert evidence.observed["fit"].observer == "Petra Lindqvist and Kofi Aldersey"


@pytest.mark.usefixtures("asked_for")
def test_where_the_second_saw_less_it_does_not_count(work, bank, signing, boss, other, learner):
    first = sign(work, bank, signing, boss, learner)
    sign(work, bank, signing, other, learner, missed=3, second_of=first.id)
    assert states(work, bank, learner)["fit"] == "not_met"
    with work.reading(learner.viewer) as unit:
        assert not sign_off.see(unit, bank, first.id).counts


@pytest.mark.usefixtures("asked_for")
def test_the_record_comes_with_the_last_second_sheet(work, bank, signing, boss, other, learner):
    with work.writing() as unit:
        unit.session.add(a_sitting(learner, METHOD, True))
    issued = []
    for service in ("fit", "maintain", "remove"):
        first = sign(work, bank, signing, boss, learner, service)
        second = sign(work, bank, signing, other, learner, service, second_of=first.id)
        issued += [first.record_id, second.record_id]
    assert issued[:5] == [None] * 5 and issued[5]
    with work.reading() as unit:
        assert "Kofi Aldersey" in records.record(unit, issued[5]).document


@pytest.mark.usefixtures("asked_for")
def test_the_first_sheet_is_closed_to_other_instructors_until_then(
    work, bank, signing, boss, other, learner
):
    first = sign(work, bank, signing, boss, learner, missed=2)
    assert states(work, bank, learner)["fit"] == "second_missing"
    with work.reading(other.viewer) as unit:
        with pytest.raises(Forbidden, match="second observer"):
            sign_off.see(unit, bank, first.id)
        (waits,) = watch_together.waiting(unit)
        told = second_sheet.work_to_second(unit, first.id)
        assert not hasattr(told, "ticks") and not hasattr(waits, "met")
        assert all(line.waits for line in sign_off.latest(unit))
    for someone in (boss, learner):
        with work.reading(someone.viewer) as unit:
            assert sign_off.see(unit, bank, first.id).next_step == NEXT
    sign(work, bank, signing, other, learner, second_of=first.id)
    with work.reading(other.viewer) as unit:
        assert sign_off.see(unit, bank, first.id).line.observer == "Petra Lindqvist"
        assert watch_together.waiting(unit) == ()


@pytest.mark.usefixtures("asked_for")
def test_who_cannot_be_the_second(work, bank, signing, boss, other, learner):
    first = sign(work, bank, signing, boss, learner)
    with pytest.raises(Forbidden, match="first sheet"):
        sign(work, bank, signing, boss, learner, second_of=first.id)
    stranger = a_person(work, "instructor")
    with pytest.raises(NotFound):
        sign(work, bank, signing, stranger, learner, second_of=first.id)
    with pytest.raises(InputProblem, match="other work"):
        sign(work, bank, signing, other, learner, "remove", second_of=first.id)
    sign(work, bank, signing, other, learner, second_of=first.id)
    third = a_person(work, "instructor", organisation=boss.organisation)
    with pytest.raises(NotFound):
        sign(work, bank, signing, third, learner, second_of=first.id)


@pytest.mark.usefixtures("asked_for")
def test_the_same_second_sheet_sent_twice_is_kept_once(work, bank, signing, boss, other, learner):
    first = sign(work, bank, signing, boss, learner)
    sent = {"second_of": first.id, "submission_id": "twice"}
    found = [sign(work, bank, signing, other, learner, **sent).id for _ in range(2)]
    assert found[0] == found[1]


def test_a_sheet_keeps_the_rule_under_which_it_was_signed(
    work, bank, signing, boss, chief, learner
):
    sign(work, bank, signing, boss, learner)
    with work.writing(chief.viewer) as unit:
        watch_together.ask_for_two(unit, True, NOW)
        assert events.last(unit).kind == "organisation.second_observer"
    assert states(work, bank, learner)["fit"] == "met"


def test_only_administrators_ask_for_two(work, boss):
    with work.writing(boss.viewer) as unit, pytest.raises(Forbidden):
        watch_together.ask_for_two(unit, True, NOW)


@pytest.mark.usefixtures("asked_for")
def test_agreement_is_counted_over_every_criterion_of_every_pair(
    work, bank, signing, boss, other, learner
):
    with work.reading(boss.viewer) as unit:
        assert watch_together.overview(unit).agreement.n == 0
    for service, misses in (("fit", 1), ("remove", 0)):
        first = sign(work, bank, signing, boss, learner, service, missed=misses)
        sign(work, bank, signing, other, learner, service, missed=2 * misses, second_of=first.id)
    with work.reading(boss.viewer) as unit:
        found = watch_together.overview(unit)
    n = len(ids(bank, "fit")) + len(ids(bank, "remove"))
    assert (found.works, found.agreement.n) == (2, n)
    assert found.agreement.alike == pytest.approx((n - 1) / n)
    assert found.agreement.words == "too_few"
    stranger = a_person(work, "instructor")
    with work.reading(stranger.viewer) as unit:
        assert watch_together.overview(unit).works == 0


def test_later_work_stands_for_itself(work, bank, signing, boss, other, chief, learner):
    """Met by one observer long ago, then watched anew by two: the later work counts."""
    sign(work, bank, signing, boss, learner, on=NOW.date() - timedelta(days=3))
    with work.writing(chief.viewer) as unit:
        watch_together.ask_for_two(unit, True, NOW)
    sign(work, bank, signing, boss, learner)
    assert states(work, bank, learner)["fit"] == "second_missing"


def told(work, bank, someone):
    with work.reading(someone.viewer) as unit:
        return [one.words for one in needs(unit, bank, 60, NOW) if one.kind == "sheet"]


def looks(work, someone):
    with work.writing(someone.viewer) as unit:
        see_signed.saw(unit, see_signed.unseen(unit), NOW)


def test_a_signed_sheet_is_told_to_its_person_until_they_have_seen_it(
    work, bank, signing, boss, learner
):
    sign(work, bank, signing, boss, learner)
    sign(work, bank, signing, boss, learner, "remove", missed=1)
    start = "Your work of 3 March was signed:"
    assert sorted(told(work, bank, learner)) == [
        f"{start} competent (tape-in, fit)",
        f"{start} needs more, and the sheet says what (tape-in, remove)",
    ]
    assert told(work, bank, boss) == []
    looks(work, boss)
    assert len(told(work, bank, learner)) == 2
    looks(work, learner)
    assert told(work, bank, learner) == []


@pytest.mark.usefixtures("asked_for")
def test_the_first_of_two_sheets_is_not_told_before_the_second(
    work, bank, signing, boss, other, learner
):
    first = sign(work, bank, signing, boss, learner)
    assert told(work, bank, learner) == []
    looks(work, learner)
    sign(work, bank, signing, other, learner, missed=1, second_of=first.id)
    (words,) = told(work, bank, learner)
    assert "needs more" in words
    looks(work, learner)
    assert told(work, bank, learner) == []
