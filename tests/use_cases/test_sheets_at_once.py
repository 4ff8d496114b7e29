"""Two who sign, stop or set aside at once: neither meets a fault of ours."""

from threading import Event

import pytest

from tests.support.at_once import HELD, both, meeting
from tests.support.people import NOW, a_person
from tests.support.records import a_record
from tests.use_cases.test_remedy_appeal import METHOD, SAT, appealed, signed, states, uphold
from trainer.store import observations
from trainer.use_cases import appeal, withdraw


@pytest.fixture
def chief(work):
    return a_person(work, "administrator", name="Ottoline Brask")


@pytest.fixture
def staff(work, chief):
    """Two instructors."""
    return [a_person(work, "instructor", organisation=chief.organisation) for _ in range(2)]


@pytest.fixture
def learner(work, chief):
    return a_person(work, organisation=chief.organisation, name="Mina Torvald")


def test_two_instructors_sign_for_one_person(work, bank, learner, staff, issuing, monkeypatch):
    meeting(monkeypatch, observations, "keep_once")
    one, other = staff
    both(
        lambda: signed(work, bank, issuing, one, learner, service="fit"),
        lambda: signed(work, bank, issuing, other, learner, service="remove"),
    )
    with work.reading() as unit:
        assert set(observations.latest_watching(unit, learner.id, METHOD)) == {"fit", "remove"}


def test_a_record_is_suspended_while_the_sheet_that_it_rests_on_is_set_aside(
    work, bank, learner, staff, chief, earned, issuing, monkeypatch
):
    one, other = staff
    sheet = signed(work, bank, issuing, one, learner, at=SAT)
    number = a_record(work, bank, earned, issuing, learner, METHOD)
    sent = appealed(work, bank, learner, about="sign_off")
    stopped, answered = Event(), Event()
    telling, logging = withdraw._tell, appeal._log

    def tell(*given):
        stopped.set()
        answered.wait(HELD)
        telling(*given)

    def logged(*given):
        logging(*given)
        answered.set()

    monkeypatch.setattr(withdraw, "_tell", tell)
    monkeypatch.setattr(appeal, "_log", logged)

    def suspend():
        with work.writing(other.viewer) as unit:
            withdraw.suspend(unit, number, "The sheet is looked into.", NOW)

    def set_aside():
        stopped.wait()
        uphold(work, bank, chief, sent, f"unsign:{sheet}", issuing)

    assert both(suspend, set_aside) == [None, None]
    assert states(work, learner) == ["suspended"]
