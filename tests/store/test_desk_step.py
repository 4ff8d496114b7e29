"""The step of the desk fills what stands behind a standing from records and sheets."""

from datetime import timedelta

from tests.store.test_records import a_row
from tests.support.people import NOW, a_person
from tests.use_cases.test_evidence import an_observation
from trainer.store import records, standings
from trainer.store.migrations.upgrade import downgrade, upgrade


def test_standings_know_their_record_and_second_observer_after_the_step_up(work):
    someone = a_person(work)
    bosses = [a_person(work, "instructor", organisation=someone.organisation) for _ in range(2)]
    with work.writing() as unit:
        row = a_row(someone, 1)
        records.keep(unit, row)
        held = {"person_id": someone.id, "method": "tape_in", "word": "competent", "as_of": NOW}
        for service in ("fit", "remove"):
            line = standings.StandingRow(**held, service=service, record_id=row.id)
            standings.keep(unit, line)
        for days, boss, service in ((9, 0, "fit"), (5, 0, "fit"), (3, 1, "fit"), (2, 1, "remove")):
            at = NOW - timedelta(days=days)
            sheet = an_observation(someone, bosses[boss], service, observed_at=at)
            unit.session.add(sheet)
    downgrade(work._engine, "0014_chair")
    upgrade(work._engine)
    with work.reading() as unit:
        found = {one.service: one for one in standings.lines(unit, [someone.id], ["tape_in"])}
    assert found["fit"].record_from == row.valid_from.date()
    assert found["fit"].second_on == (NOW - timedelta(days=3)).date()
    assert found["remove"].second_on is None
