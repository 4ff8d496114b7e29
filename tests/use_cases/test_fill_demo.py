"""The demo scenario is made by the product's own use cases, and every screen has something true."""

from datetime import timedelta

import pytest

from tests.conftest import prepared
from tests.support.people import NOW, PASSWORDS, a_person
from trainer.store import people, records
from trainer.use_cases import (
    clear_for_service,
    fill_demo,
    keep_house_rules,
    keep_log,
    review_cohort,
    see_house,
    see_team,
)
from trainer.use_cases.clear_for_service import Ask
from trainer.use_cases.demo_cast import PASSWORD, SITE, SUSPENDED, address_of
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.see_team import Wanted
from trainer.use_cases.sign_in import belongings, sign_in, viewer_of


def someone(work, name):
    found = sign_in(work, PASSWORDS, address_of(name), PASSWORD, "203.0.113.5", NOW)
    with work.reading() as unit:
        return viewer_of(found.person_id, belongings(unit, found.person_id)[0])


def test_whoever_is_named_can_sign_in(demo):
    work, said, _ = demo
    for line in said[1:-1]:
        name = line.split("@")[0].split()[-1]
        assert sign_in(work, PASSWORDS, f"{name}@example.org", PASSWORD, "203.0.113.5", NOW)


def test_the_log_is_whole(demo):
    with demo[0].reading() as unit:
        count, breaks = keep_log.check_log(unit)
    assert breaks == [] and count > 50


def test_the_salon_sees_every_kind_of_standing(demo, bank):
    work = demo[0]
    words = set()
    for name in ("Rosalind Achebe", "Piet Marlowe"):
        with work.reading(someone(work, name)) as unit:
            for one in see_team.page(unit, bank, Wanted(NOW.date()), None, 30).lines:
                words |= {c.standing.word for cells in one.cells.values() for c in cells.values()}
    assert words >= {"competent", "working_towards", "expired", "suspended", "not_started"}


def test_the_salons_have_days_gaps_by_weekday_and_house_rules(demo, bank):
    work = demo[0]
    for name in ("Rosalind Achebe", "Piet Marlowe"):
        with work.reading(someone(work, name)) as unit:
            house, _ = see_house.see_house(unit, bank, SITE.grace_days, NOW, NOW.date())
            assert keep_house_rules.set_here(unit, SITE)
        assert any(gap.days for gap in house.gaps)
    with work.reading(someone(work, "Rosalind Achebe")) as unit:
        row = people.by_email(unit, address_of("Chidera Moss"))
        ask = Ask(row.id, "sewn_weft", "fit", NOW.date())
        (found,) = clear_for_service.answer_many(unit, bank, [ask], SITE.grace_days)
    assert found.clearance.reasons[0].ground == "house_second_observation"


def test_the_instructor_has_something_to_do(demo, bank):
    work, _, _ = demo
    with work.reading(someone(work, "Ines Varga")) as unit:
        found = review_cohort.overview(unit, bank, "", NOW)
    assert found.waiting and found.stuck


def test_the_suspended_record_says_so(demo):
    name, method, _ = SUSPENDED
    with demo[0].reading() as unit:
        row = people.by_email(unit, address_of(name))
        assert [one.state for one in records.held(unit, row.id, method)] == ["suspended"]


def test_a_second_fill_adds_nothing_and_a_used_database_is_left_alone(demo, bank, tmp_path):
    work, said, folder = demo
    later = NOW + timedelta(days=1)
    again = fill_demo.fill(work, bank, folder / "keys", "", later, lambda *_: None, PASSWORDS)
    assert again == said
    with prepared(f"sqlite:///{tmp_path / 'other.db'}") as other:
        a_person(other)
        told = fill_demo.fill(other, bank, tmp_path, "", NOW, lambda *_: None, PASSWORDS)
    assert "left out" in told[0]


def test_a_demo_that_was_stopped_half_way_says_so(bank, tmp_path):
    def stop(*_):
        raise KeyboardInterrupt

    with prepared(f"sqlite:///{tmp_path / 'half.db'}") as work:
        for progress, raised in ((stop, KeyboardInterrupt), (print, InputProblem)):
            with pytest.raises(raised):
                fill_demo.fill(work, bank, tmp_path, "http://x.example", NOW, progress, PASSWORDS)
