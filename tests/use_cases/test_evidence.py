"""From kept sittings and observations to an issued record: nothing stands in between."""

from datetime import timedelta

from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import issuing_in
from trainer.store import records
from trainer.store.observations import ObservationRow
from trainer.store.sittings import SittingRow
from trainer.use_cases import certify, clear_for_service, see_records
from trainer.use_cases.evidence import gather


def a_sitting(person, passed, finished_at):
    return SittingRow(
        person_id=person.id,
        organisation_id=person.organisation,
        method="tape_in",
        blueprint="bonded",
        state="done",
        opened_at=finished_at - timedelta(hours=1),
        closes_at=finished_at,
        minutes=60,
        finished_at=finished_at,
        bank_version="a1b2c3",
        fingerprint="9c41f2",
        most=40,
        cut=31,
        score=35 if passed else 20,
        confidence=0.97,
        passed=passed,
        outcome={},
    )


def an_observation(person, observer, service, met=True, observed_at=NOW):
    return ObservationRow(
        submission_id=f"{person.id}-{service}-{observed_at.isoformat()}",
        person_id=person.id,
        observer_id=observer.id,
        organisation_id=person.organisation,
        method="tape_in",
        service=service,
        observed_at=observed_at,
        signed_at=observed_at,
        ticks={},
        notes="",
        met=met,
        bank_version="a1b2c3",
    )


def test_a_record_rests_on_what_was_kept(work, bank, tmp_path):
    place = an_organisation(work)
    person = a_person(work, organisation=place)
    boss = a_person(work, "instructor", organisation=place, name="Petra Lindqvist")
    issuing = issuing_in(tmp_path)
    with work.writing(boss.viewer) as unit:
        unit.session.add_all(
            [
                a_sitting(person, False, NOW - timedelta(days=9)),
                a_sitting(person, True, NOW - timedelta(days=2)),
                an_observation(person, boss, "fit"),
                an_observation(person, boss, "maintain"),
                an_observation(person, boss, "remove", met=False),
            ]
        )
        unit.session.flush()
        found = gather(unit, person.id, "tape_in")
        assert found.result.score == 35
        assert set(found.observed) == {"fit", "maintain"}
        assert found.observed["fit"].observer == "Petra Lindqvist"
        assert certify.consider(unit, bank, person.id, place, "tape_in", issuing, NOW) is None
    with work.reading(boss.viewer) as unit:
        asked = clear_for_service.answer(
            unit, bank, clear_for_service.Ask(person.id, "tape_in", "fit", NOW.date()), 30
        )
        assert asked.clearance.answer == "supervised_only"
    with work.reading(person.viewer) as unit:
        (ahead,) = see_records.mine(unit, bank, NOW).ahead
        assert ahead.missing.observed == ("remove",)
    later = NOW + timedelta(hours=2)
    with work.writing(boss.viewer) as unit:
        unit.session.add(an_observation(person, boss, "remove", observed_at=later))
        unit.session.flush()
        record_id = certify.consider(unit, bank, person.id, place, "tape_in", issuing, later)
    with work.reading() as unit:
        assert records.record(unit, record_id).services == ["fit", "maintain", "remove"]


def test_who_has_shown_nothing_has_no_evidence(work):
    person = a_person(work)
    with work.reading() as unit:
        found = gather(unit, person.id, "tape_in")
    assert (found.passed_on, found.observed_on) == (None, {})
