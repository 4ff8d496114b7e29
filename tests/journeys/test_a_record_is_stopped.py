"""A complaint stops a record: the salon sees it at once, and the lifted suspension as well."""

import pytest

from tests.support.people import NOW, PASSWORD, a_person, an_organisation
from tests.support.records import Earned, a_record
from tests.support.site import press, visiting
from trainer import clock
from trainer.use_cases import keep_people
from trainer.use_cases.certify import Issuing

METHOD = "tape_in"


@pytest.fixture
def cast(site, bank, monkeypatch):
    """An instructor who watched nothing, a stylist with a record, and her salon."""
    earned = Earned({})
    earned.put_in_place(monkeypatch)
    academy = an_organisation(site.work, "Marsh Row Academy")
    salon = an_organisation(site.work, "The Open Comb", "salon")
    boss = a_person(site.work, "instructor", organisation=academy, name="Ines Varga")
    holder = a_person(site.work, organisation=academy, name="Mina Torvald")
    desk = a_person(site.work, "salon_manager", organisation=salon, name="Rosa Pine")
    with site.work.writing(desk.viewer) as unit:
        keep_people.join(unit, holder.id, salon, ["apprentice"], NOW)
    issuing = Issuing(site.settings.keys, site.address)
    record = a_record(site.work, bank, earned, issuing, holder, now=clock.now())
    return boss, holder, desk, record


def decide(page, site, record, decision, reason):
    page.goto(f"{site.address}/records/{record}/state")
    page.get_by_label(decision).check()
    page.get_by_label("Reason").fill(reason)
    page.get_by_label("Your password").fill(PASSWORD)
    press(page.get_by_role("button", name="Record this decision"))
    page.wait_for_url("**/records/issued")


def said_by(page):
    page.reload()
    return page.locator("main").inner_text()


def test_the_salon_and_strangers_see_it_at_once(site, browser, cast):
    boss, holder, desk, record = cast
    asked = f"person={holder.id}&method={METHOD}&service=fit&on={clock.today()}"
    with visiting(browser) as salon, visiting(browser, 1280) as teacher, visiting(browser) as other:
        site.sign_in(salon, desk.email)
        site.sign_in(teacher, boss.email)
        salon.goto(f"{site.address}/clearance?{asked}")
        other.goto(f"{site.address}/check/{record}")
        assert "Not cleared" not in said_by(salon) and "Cleared" in said_by(salon)
        assert "Valid" in said_by(other)

        decide(teacher, site, record, "Suspend", "A client's burn is being looked into.")
        assert "Not cleared" in said_by(salon) and "suspended" in said_by(salon)
        assert "uspended" in said_by(other) and "burn" not in said_by(other)

        decide(teacher, site, record, "Lift", "The burn came from elsewhere.")
        assert "Not cleared" not in said_by(salon) and "Cleared" in said_by(salon)
        assert "uspended" in said_by(other) or "no longer" in said_by(other)
