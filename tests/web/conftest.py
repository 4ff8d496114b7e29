"""A salon for its screens: the desk, and people of the team with and without a record."""

import pytest

from tests.support.one_day import one_day  # noqa: F401
from tests.support.people import a_person, an_organisation
from tests.support.plain_bank import plain_bank
from tests.support.records import Earned, a_record
from trainer import clock
from trainer.use_cases import keep_people
from trainer.use_cases.certify import Issuing


@pytest.fixture
def salon(sqlite_work):
    return an_organisation(sqlite_work, "Fig Lane", "salon")


@pytest.fixture
def desk(sqlite_work, salon):
    return a_person(sqlite_work, "salon_manager", organisation=salon)


@pytest.fixture
def join(sqlite_work, salon):
    """join(name) is somebody of the salon, trained elsewhere."""

    def made(name):
        someone = a_person(sqlite_work, name=name)
        with sqlite_work.writing() as unit:
            keep_people.join(unit, someone.id, salon, ("apprentice",), clock.now())
        return someone

    return made


@pytest.fixture
def plain_questions(monkeypatch):
    """The app's bank is the small one, whose questions are quickly written."""
    monkeypatch.setattr("trainer.web.app.open_bank", plain_bank)


@pytest.fixture
def record_for(sqlite_work, bank, monkeypatch, settings):
    """record_for(someone) is the id of a record of theirs for tape-in, from today on."""
    earned = Earned({})
    earned.put_in_place(monkeypatch)

    def made(someone):
        issuing = Issuing(settings.keys, "http://localhost")
        return a_record(sqlite_work, bank, earned, issuing, someone, now=clock.now())

    return made


@pytest.fixture
def issue(join, record_for):
    """issue(name) is somebody of the salon with such a record."""

    def made(name):
        someone = join(name)
        record_for(someone)
        return someone

    return made


@pytest.fixture
def stylist(issue):
    return issue("Noor Haddad")
