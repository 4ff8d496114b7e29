"""Access codes: shown once, kept as a hash, for one purpose, ended at once, logged, limited."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from trainer.store import access_tokens
from trainer.use_cases import keep_access, keep_log, keep_people
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

LATER = NOW + timedelta(minutes=1)


@pytest.fixture
def boss(work):
    return a_person(work, "administrator", name="Ines Varga")


def made(work, who, purpose="clearance", label="Booking calendar"):
    with work.writing(who.viewer) as unit:
        return keep_access.make(unit, purpose, label, NOW)


def test_a_code_opens_its_organisation_until_it_is_ended(work, boss):
    code = made(work, boss, "team")
    with work.reading() as unit:
        access = keep_access.opened(unit, code)
        assert (access.viewer.organisation_id, access.purpose) == (boss.organisation, "team")
        assert not access.viewer.is_a("administrator", "instructor")
        assert keep_access.opened(unit, f"{code}x") is None
    with work.writing(boss.viewer) as unit:
        assert code not in str(access_tokens.open_ones(unit)[0].__dict__)
        keep_access.end(unit, access.token_id, NOW)
    with work.reading() as unit:
        assert keep_access.opened(unit, code) is None
        kinds = [one["kind"] for one in keep_log.exported(unit)]
        assert code not in str(list(keep_log.exported(unit)))
    assert kinds[-2:] == ["access.made", "access.ended"]


def test_only_those_who_look_after_the_place_make_and_end_codes(work, boss):
    made(work, boss)
    with work.writing(boss.viewer) as unit:
        (code,) = keep_access.listed(unit)
    for who, refusal in (
        (a_person(work, "instructor", organisation=boss.organisation), Forbidden),
        (a_person(work, "administrator"), NotFound),
    ):
        with pytest.raises(refusal), work.writing(who.viewer) as unit:
            keep_access.end(unit, code.id, NOW)
    stranger = a_person(work, "administrator")
    with work.reading(stranger.viewer) as unit:
        assert keep_access.listed(unit) == []


@pytest.mark.parametrize(
    ("purpose", "label", "where"),
    [("all", "x", "purpose"), ("team", " ", "label"), ("team", "x" * 61, "label")],
)
def test_what_cannot_be_is_named(sqlite_work, purpose, label, where):
    who = a_person(sqlite_work, "salon_manager")
    with pytest.raises(InputProblem) as found:
        made(sqlite_work, who, purpose, label)
    assert found.value.where == where


def test_a_maker_who_left_is_pointed_out(sqlite_work, boss_of):
    maker, other = boss_of(sqlite_work)
    made(sqlite_work, maker)
    with sqlite_work.writing(other.viewer) as unit:
        assert [one.maker_left for one in keep_access.listed(unit)] == [False]
        keep_people.end_membership(unit, maker.id, NOW)
        assert [one.maker_left for one in keep_access.listed(unit)] == [True]


@pytest.fixture
def boss_of():
    def two(work):
        maker = a_person(work, "administrator")
        return maker, a_person(work, "administrator", organisation=maker.organisation)

    return two


def test_all_processes_together_keep_to_the_limit(work, boss):
    """Ten at once ask for portions of 7 of the 50 calls of a minute: seven are granted."""
    code = made(work, boss)
    with work.reading() as unit:
        token_id = keep_access.opened(unit, code).token_id

    def ask(now):
        with work.writing() as unit:
            return keep_access.set_aside(unit, token_id, 7, 50, now)

    with ThreadPoolExecutor(10) as many:
        assert sum(many.map(ask, [NOW] * 10)) == 7
        assert sum(many.map(ask, [LATER] * 10)) == 7
    assert not ask(NOW)
    with work.reading(boss.viewer) as unit:
        (kept,) = keep_access.listed(unit)
    assert kept.last_used_on == LATER.date()
