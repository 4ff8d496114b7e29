"""What ends soon, for learner and house; the refresh set that renews; the calendar that reminds."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from icalendar import Calendar

from tests.support.people import NOW, a_person, an_organisation
from tests.support.practised import a_sitting
from tests.support.records import a_record, evidence
from tests.support.statements import counted
from trainer.store import people, records
from trainer.store.unit import NOBODY
from trainer.use_cases import certify, keep_calendar, keep_people, see_endings, withdraw
from trainer.use_cases.keep_calendar import MINE, PLACE
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

END = date(2027, 3, 3)
WHY = "A complaint is being looked into."


@pytest.fixture
def place(work):
    return an_organisation(work, "Quayside")


@pytest.fixture
def holder(work, place):
    return a_person(work, organisation=place, name="Ines Dorval")


@pytest.fixture
def boss(work, place):
    return a_person(work, "instructor", organisation=place)


@pytest.fixture
def record_id(work, bank, earned, issuing, holder):
    return a_record(work, bank, earned, issuing, holder)


def before_end(days):
    return NOW.replace(year=2027) - timedelta(days=days)


def of_place(work, bank, boss, now, window=60):
    with work.reading(boss.viewer) as unit:
        return see_endings.of_place(unit, bank, window, now).endings


@pytest.mark.usefixtures("record_id")
@pytest.mark.parametrize(
    ("days", "there"), [(61, False), (60, True), (0, True), (-60, True), (-61, False)]
)
def test_the_window_reaches_both_ways(work, bank, boss, days, there):
    found = of_place(work, bank, boss, before_end(days))
    assert [(one.name, one.on, one.days) for one in found] == [("Ines Dorval", END, days)] * there


@pytest.mark.usefixtures("record_id")
def test_it_says_what_is_still_needed(work, bank, holder, boss):
    (one,) = of_place(work, bank, boss, before_end(20))
    assert one.needed.refreshes and one.needed.holds
    assert one.needed.missing.assessment
    with work.reading(holder.viewer) as unit:
        assert [a.on for a in see_endings.mine(unit, bank, 60, before_end(20))] == [END]
        with pytest.raises(Forbidden):
            see_endings.of_place(unit, bank, 60, NOW)


def test_a_renewed_or_stopped_record_ends_no_more(
    work, bank, earned, issuing, holder, boss, record_id
):
    day = before_end(30)
    earned.known[holder.id, "tape_in"] = evidence("s2", day.date(), observed_on=day.date())
    with work.writing() as unit:
        renewed = certify.consider(
            unit, bank, holder.id, holder.organisation, "tape_in", issuing, day
        )
        assert records.record(unit, renewed).valid_until.date() == date(2028, 3, 3)
    assert of_place(work, bank, boss, day) == []
    with work.writing(boss.viewer) as unit:
        withdraw.withdraw(unit, renewed, WHY, day)
    assert of_place(work, bank, boss, day) == []
    assert record_id != renewed


def calendar(work, bank, token):
    with work.reading() as unit:
        kind, viewer = keep_calendar.owner(unit, token)
    with work.reading(viewer) as unit:
        return keep_calendar.file(unit, bank, kind, "https://quayside.example/endings")


def events(content):
    return Calendar.from_ical(content).walk("VEVENT")


def made(work, someone, kind):
    with work.writing(someone.viewer) as unit:
        return keep_calendar.make(unit, kind, NOW)


@pytest.mark.parametrize("kind", [MINE, PLACE])
@pytest.mark.usefixtures("record_id")
def test_a_calendar_has_the_day_but_no_name_and_no_score(work, bank, holder, boss, kind):
    content = calendar(work, bank, made(work, holder if kind == MINE else boss, kind))
    (event,) = events(content)
    assert event.decoded("dtstart") == END
    text = content.decode()
    assert "Tape-in" in text
    for secret in ("Ines", "Dorval", holder.id, holder.email, "score"):
        assert secret not in text, secret
    said = " ".join(str(event[name]) for name in ("summary", "description", "url"))
    assert not any(letter.isdigit() for letter in said)


def test_renewing_moves_the_same_event_and_a_stop_cancels_it(
    work, bank, earned, issuing, holder, boss, record_id
):
    token = made(work, holder, MINE)
    (first,) = events(calendar(work, bank, token))
    day = before_end(30)
    earned.known[holder.id, "tape_in"] = evidence("s2", day.date(), observed_on=day.date())
    with work.writing() as unit:
        renewed = certify.consider(
            unit, bank, holder.id, holder.organisation, "tape_in", issuing, day
        )
    (second,) = events(calendar(work, bank, token))
    with work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, renewed, WHY, day + timedelta(days=1))
    (third,) = events(calendar(work, bank, token))
    with work.writing(boss.viewer) as unit:
        lifted = day + timedelta(days=2)
        withdraw.reinstate(unit, renewed, "It was not upheld.", issuing, lifted)
    (fourth,) = events(calendar(work, bank, token))
    chain = (first, second, third, fourth)
    assert len({str(one["uid"]) for one in chain}) == 1
    assert [int(one["sequence"]) for one in chain] == sorted({int(o["sequence"]) for o in chain})
    stamps = [one.decoded("last-modified") for one in chain]
    assert stamps == sorted(set(stamps))
    assert [str(one["status"]) for one in chain] == [
        "CONFIRMED",
        "CONFIRMED",
        "CANCELLED",
        "CONFIRMED",
    ]
    assert second.decoded("dtstart") == fourth.decoded("dtstart") == date(2028, 3, 3)
    assert record_id != renewed


def test_an_ended_address_gives_nothing(work, bank, holder, boss):
    token = made(work, holder, MINE)
    with work.writing(holder.viewer) as unit:
        (feed,) = keep_calendar.listed(unit, MINE)
    with work.writing(boss.viewer) as unit, pytest.raises(NotFound):
        keep_calendar.end(unit, MINE, feed.id, NOW)
    with work.writing(holder.viewer) as unit:
        keep_calendar.end(unit, MINE, feed.id, NOW)
    for wrong in (token, "", "x" * 43, "\ud800"):
        with pytest.raises(NotFound):
            calendar(work, bank, wrong)


def test_a_house_s_address_ends_with_the_right_of_who_made_it(work, bank, boss):
    token = made(work, boss, PLACE)
    assert events(calendar(work, bank, token)) == []
    chief = a_person(work, "administrator", organisation=boss.organisation)
    with work.writing(chief.viewer) as unit:
        keep_people.end_membership(unit, boss.id, NOW)
    with pytest.raises(NotFound):
        calendar(work, bank, token)


def test_who_is_shut_out_has_no_calendar(work, bank, holder):
    token = made(work, holder, MINE)
    with work.writing() as unit:
        people.person(unit, holder.id).disabled_at = NOW
    with pytest.raises(NotFound):
        calendar(work, bank, token)


def test_apprentices_make_none_for_the_house_and_nobody_makes_many(work, holder):
    with pytest.raises(Forbidden):
        made(work, holder, PLACE)
    with pytest.raises(NotFound):
        made(work, replace(holder, viewer=NOBODY), MINE)
    for _ in range(5):
        made(work, holder, MINE)
    with pytest.raises(InputProblem, match="5 addresses"):
        made(work, holder, MINE)


def test_the_secret_itself_is_not_kept(work, holder):
    token = made(work, holder, MINE)
    with work.reading() as unit:
        rows = unit.connection.exec_driver_sql("select token_hash from calendar_feeds").all()
    assert token not in [row[0] for row in rows] and len(rows) == 1


def test_a_sitting_alone_brings_no_ending(work, bank, holder, boss):
    with work.writing() as unit:
        unit.session.add(a_sitting(holder, "tape_in", True))
    assert of_place(work, bank, boss, NOW) == []


def test_a_house_counts_and_pages_the_same_records(
    work, bank, earned, issuing, place, holder, boss, record_id, monkeypatch
):
    """All of one moment too: ends that are equal go on by person, none twice and none left out."""
    others = [a_person(work, organisation=place, name=f"Zoe {n}") for n in range(2)]
    for someone in others:
        a_record(work, bank, earned, issuing, someone)
    monkeypatch.setattr(see_endings, "PAGE", 1)
    day, after, found = before_end(1), "", []
    for _ in range(3):
        with work.reading(boss.viewer) as unit:
            page = see_endings.of_place(unit, bank, 60, day, after)
        found += [one.person_id for one in page.endings]
        after = page.next_after
    assert sorted(found) == sorted([holder.id, *(one.id for one in others)]) and not after
    for now, expected in ((day, (0, 3)), (before_end(0), (0, 3)), (before_end(-1), (3, 0))):
        with counted(work) as sent, work.reading(boss.viewer) as unit:
            told = see_endings.count_of_place(unit, bank, 60, now)
        assert (told.ended, told.coming) == expected and len(sent) == 1
        assert told.next_end is None or told.next_end.date() == END


@pytest.mark.parametrize("after", ["a~b~c", "2027-03-03T00:00:00~b~c", "2027-03-03~b", "~"])
def test_a_place_that_cannot_be_is_not_found(sqlite_work, bank, after):
    boss = a_person(sqlite_work, "instructor")
    with sqlite_work.reading(boss.viewer) as unit, pytest.raises(NotFound):
        see_endings.of_place(unit, bank, 60, NOW, after)
