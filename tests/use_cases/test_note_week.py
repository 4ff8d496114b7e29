"""What a check of a week leaves behind: numbers and days, until the week is over or mended."""

from datetime import date, timedelta

import pytest

from tests.support.people import NOW, a_person
from trainer.core.bookings.booking import Week
from trainer.store import whole
from trainer.use_cases import note_week
from trainer.use_cases.see_needs import needs

WEEK = Week(date(2026, 3, 2))
TUESDAY, THURSDAY, FRIDAY = (WEEK.monday + timedelta(days=number) for number in (1, 3, 4))


@pytest.fixture
def desk(work):
    return a_person(work, "salon_manager")


def note(work, desk, days, week=WEEK, now=NOW):
    with work.writing(desk.viewer) as unit:
        note_week.note(unit, week, days, now)


def told(work, bank, someone, now):
    with work.reading(someone.viewer) as unit:
        return [(one.words, one.on) for one in needs(unit, bank, 60, now) if one.kind == "booking"]


def test_the_desk_is_told_until_the_last_such_day_is_over(work, bank, desk):
    note(work, desk, [FRIDAY, TUESDAY, THURSDAY])
    said = "3 bookings are not cleared in the week of"
    assert told(work, bank, desk, NOW - timedelta(days=1)) == [(said, WEEK.monday)]
    assert told(work, bank, desk, NOW + timedelta(days=3)) == [(said, WEEK.monday)]
    assert told(work, bank, desk, NOW + timedelta(days=4)) == []


def test_a_check_again_takes_the_place_of_the_first(work, bank, desk):
    note(work, desk, [TUESDAY, FRIDAY])
    note(work, desk, [FRIDAY])
    assert told(work, bank, desk, NOW) == [("1 booking is not cleared in the week of", WEEK.monday)]
    note(work, desk, [])
    assert told(work, bank, desk, NOW) == []


def test_what_stands_already_need_not_be_written_again(work, desk):
    def stands(*days):
        with work.reading(desk.viewer) as unit:
            return note_week.is_noted(unit, WEEK, days)

    assert stands() and not stands(FRIDAY)
    note(work, desk, [TUESDAY, FRIDAY])
    assert stands(FRIDAY, TUESDAY)
    assert not stands() and not stands(FRIDAY) and not stands(TUESDAY, FRIDAY, FRIDAY)


def test_only_this_house_is_told_and_old_weeks_are_forgotten(work, bank, desk):
    note(work, desk, [FRIDAY])
    assert told(work, bank, a_person(work, "salon_manager"), NOW) == []
    later = NOW + timedelta(days=14)
    note(work, desk, [], Week(WEEK.monday + timedelta(days=14)), later)
    with work.reading() as unit:
        assert list(whole.rows(unit, whole.tables(unit)["week_findings"])) == []
