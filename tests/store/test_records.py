"""Records, places on the status list and standings, on both databases."""

from datetime import date, timedelta

import pytest
from sqlalchemy.exc import IntegrityError

from tests.support.people import NOW, a_person
from trainer.core.problems import NotFound
from trainer.store import records, standings


def a_row(person, number, **changes):
    values = {
        "id": f"{number:032x}",
        "person_id": person.id,
        "organisation_id": person.organisation,
        "method": "tape_in",
        "services": ["fit"],
        "valid_from": NOW,
        "valid_until": NOW + timedelta(days=365),
        "issued_at": NOW + timedelta(minutes=number // 2),
        "basis": f"sitting:{number}",
        "document": "{}",
        "state": "in_force",
        "state_since": NOW,
    }
    return records.RecordRow(**(values | changes))


def test_what_rests_on_one_sitting_is_kept_once(work):
    person = a_person(work)
    with work.writing() as unit:
        records.keep(unit, a_row(person, 1))
    with pytest.raises(IntegrityError), work.writing() as unit:
        records.keep(unit, a_row(person, 2, basis="sitting:1"))


def test_what_was_issued_is_paged_by_key_without_gap_or_repeat(work):
    person, stranger = a_person(work, "administrator"), a_person(work)
    with work.writing() as unit:
        for number in range(7):
            records.keep(unit, a_row(person, number))
        records.keep(unit, a_row(stranger, 99))
    seen, before = [], None
    with work.reading(person.viewer) as unit:
        while page := records.issued(unit, before, 3):
            seen += [row.id for row in page]
            before = (page[-1].issued_at, page[-1].id)
        assert records.newest_named(unit, person.organisation, "").id == seen[0]
    assert seen == [f"{number:032x}" for number in reversed(range(7))]


def test_records_are_found_by_person_and_method(work):
    person = a_person(work)
    with work.writing() as unit:
        records.keep(unit, a_row(person, 1))
        records.keep(unit, a_row(person, 2, method="clip_in"))
    with work.reading() as unit:
        assert len(records.held(unit, person.id)) == 2
        assert [row.method for row in records.held(unit, person.id, "clip_in")] == ["clip_in"]
        with pytest.raises(NotFound):
            records.record(unit, "0" * 32)


def test_only_set_bits_are_listed_and_only_the_issuers(work):
    person, other = a_person(work), a_person(work)
    with work.writing() as unit:
        for number, holder in enumerate((person, person, other)):
            place = iter([5 + number])
            records.take_place(unit, holder.organisation, f"{number:032x}", place.__next__)
        records.set_bit(unit, f"{1:032x}")
        records.set_bit(unit, f"{2:032x}")
        with pytest.raises(NotFound):
            records.set_bit(unit, "f" * 32)
    with work.reading() as unit:
        assert list(records.bits_set(unit, person.organisation)) == [6]


def test_a_standing_is_replaced_not_added(work):
    person = a_person(work)

    def row(word):
        return standings.StandingRow(
            person_id=person.id,
            method="tape_in",
            service="fit",
            word=word,
            day=date(2027, 3, 3),
            record_id=None,
            passed_on=None,
            observed_on=None,
            as_of=NOW,
        )

    for word in ("working_towards", "competent"):
        with work.writing() as unit:
            standings.keep(unit, row(word))
    with work.reading() as unit:
        assert [one.word for one in standings.of_people(unit, [person.id])] == ["competent"]
