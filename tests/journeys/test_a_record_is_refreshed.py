"""A record has ended: the refresh set, work watched again, and the salon sees the new one."""

import re
from datetime import timedelta

import pytest

from tests.journeys.test_from_module_to_record import METHOD, answer_from, clearance, sign
from tests.support.letting_in import open_for, sign_and_ask
from tests.support.people import NOW, a_person, an_organisation
from tests.support.practised import a_sitting
from tests.support.records import signing_with
from tests.support.site import press, visiting
from trainer import clock
from trainer.use_cases import keep_people, sign_off
from trainer.use_cases.certify import Issuing
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.sign_off import Watched

SERVICES = ("fit", "maintain", "remove")
AGO = timedelta(days=375)


@pytest.fixture
def cast(site, bank):
    """A stylist whose record ended ten days ago, her instructor, and her salon."""
    academy = an_organisation(site.work, "Marsh Row Academy")
    salon = an_organisation(site.work, "The Open Comb", "salon")
    boss = a_person(site.work, "instructor", organisation=academy, name="Ines Varga")
    holder = a_person(site.work, organisation=academy, name="Mina Torvald")
    desk = a_person(site.work, "salon_manager", organisation=salon, name="Rosa Pine")
    with site.work.writing(desk.viewer) as unit:
        keep_people.join(unit, holder.id, salon, ["apprentice"], NOW)
    then = clock.now() - AGO
    with site.work.writing(holder.viewer) as unit:
        unit.session.add(a_sitting(holder, METHOD, True, then))
    signing = signing_with(Issuing(site.settings.keys, site.address))
    for service in SERVICES:
        met = [one.id for one in bank.criteria_of(METHOD, service)]
        watched = Watched(holder.id, METHOD, service, met, "", then.date(), service)
        with site.work.writing(boss.viewer) as unit:
            done = sign_off.sign(unit, bank, watched, Proven(boss.id), signing, then)
    assert done.record_id
    return boss, holder, desk


def test_from_the_ended_record_to_the_new_one(site, browser, cast):
    boss, holder, desk = cast
    assert not re.search(r"\bCleared\b", clearance(site, browser, desk, holder))
    refresh = f"/endings/mine/{METHOD}/refresh"
    with visiting(browser) as mine, visiting(browser) as teacher:
        site.sign_in(mine, holder.email)
        site.sign_in(teacher, boss.email)
        mine.goto(f"{site.address}/needs")
        assert "has ended" in mine.locator("main").inner_text()
        press(mine.get_by_role("link", name="See what renews it"))
        press(mine.locator(f'a[href="{refresh}"]').first)
        assert "in place of 40" in mine.locator("main").inner_text()
        sign_and_ask(site, mine, METHOD, refresh)
        open_for(site, teacher, "Mina Torvald")
        mine.goto(f"{site.address}{refresh}")
        press(mine.get_by_role("button", name="Begin now"))
        mine.wait_for_url("**/sittings/**")
        sitting_id = mine.url.split("/sittings/")[1].split("/")[0]
        answer_from(site, mine, holder, sitting_id, 1, 20)
        mine.goto(f"{site.address}/sittings/{sitting_id}/finish")
        press(mine.get_by_role("button", name=re.compile("Finish", re.I)))
        mine.wait_for_url("**/result")
        assert "Passed" in mine.locator("main").inner_text()
    assert not re.search(r"\bCleared\b", clearance(site, browser, desk, holder))
    for service in SERVICES:
        sign(site, browser, boss, holder, service)
    assert re.search(r"\bCleared\b", clearance(site, browser, desk, holder))
