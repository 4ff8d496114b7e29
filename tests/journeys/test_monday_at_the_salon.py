"""Monday's week check with 80 bookings, and a stylist who arrives with a record from elsewhere."""

import re
from datetime import timedelta

import pytest

from tests.support.elsewhere import LIST, FakeDoor, OtherAcademy
from tests.support.people import a_person, an_organisation
from tests.support.records import Earned, a_record
from tests.support.site import press, visiting
from trainer import clock
from trainer.core.bookings.booking import Booking, week_of
from trainer.core.exchange.bookings_out import as_calendar
from trainer.use_cases import keep_people
from trainer.use_cases.certify import Issuing
from trainer.web import outside

TEAM = ("Ada Lowe", "Bo Hart", "Cleo Wu", "Dov Marsh")
CLEARED = ("Ada Lowe", "Cleo Wu")
HOURS = (9, 11, 13, 15)
WORK = ("Tapes full head", "Cut and colour")


@pytest.fixture
def salon(site):
    return an_organisation(site.work, "Fig Lane", "salon")


@pytest.fixture
def manager(site, salon):
    return a_person(site.work, "salon_manager", organisation=salon)


@pytest.fixture
def team(site, salon, bank, monkeypatch):
    """Four stylists, two of whom hold a record for tape-ins."""
    earned = Earned({})
    earned.put_in_place(monkeypatch)
    issuing = Issuing(site.settings.keys, site.address)
    for name in TEAM:
        someone = a_person(site.work, name=name)
        with site.work.writing() as unit:
            keep_people.join(unit, someone.id, salon, ("apprentice",), clock.now())
        if name in CLEARED:
            a_record(site.work, bank, earned, issuing, someone, now=clock.now())


def next_week():
    return week_of(clock.today() + timedelta(days=7))


def eighty():
    """Five days of four hours for four people; each third hour of Ada's is free of tapes."""
    found = []
    for day in range(5):
        for place, name in enumerate(TEAM):
            for slot, hour in enumerate(HOURS):
                start = next_week().start + timedelta(days=day, hours=hour)
                title = WORK[(day + place + slot) % 2]
                minutes = 60 if name in CLEARED and slot == 3 else 120
                later = timedelta(hours=1) if minutes == 60 else timedelta()
                start += later
                booking = Booking(start, start + timedelta(minutes=minutes), title, name)
                found.append((booking, f"Client Number{len(found)}"))
    return as_calendar(found)


def settle(page, number, words, method):
    """Answer one of the groups that the page asks about."""
    group = page.locator("fieldset").nth(number)
    assert group.get_by_label("Words").input_value() == words
    group.get_by_label("Method").select_option(label=method)


@pytest.mark.parametrize("width", [390, 1280])
def test_a_week_of_eighty_bookings_is_checked(site, browser, manager, team, width, tmp_path):
    file = tmp_path / "week.ics"
    file.write_bytes(eighty())
    with visiting(browser, width, java_script_enabled=width > 390) as page:
        site.sign_in(page, manager.email)
        press(page.get_by_role("link", name="Week", exact=True))
        page.get_by_label("Bookings").set_input_files(file)
        page.get_by_label("Any day of the week to check").fill(next_week().monday.isoformat())
        press(page.get_by_role("button", name="Check this week"))
        legends = page.locator("legend").all_inner_texts()
        assert len(legends) == 2 and all("40 bookings say" in one for one in legends)
        for number, legend in enumerate(legends):
            tapes = WORK[0] in legend
            settle(
                page, number, WORK[0 if tapes else 1], "Tape-in" if tapes else "Nothing to check"
            )
        press(page.get_by_role("button", name="Keep these answers and check again"))
        assert page.get_by_text("2 rules are kept").is_visible()
        assert (
            "80 bookings: 20 cleared, 20 not cleared, 0 to be asked about"
            in page.locator(".lead").inner_text()
        )
        first = page.locator(".needs > li").first.inner_text()
        assert "Bo Hart" in first or "Dov Marsh" in first
        offered = page.get_by_text(re.compile("Could do (it then|any of these):"))
        assert offered.count() > 0
        assert any(name in offered.first.locator("..").inner_text() for name in CLEARED)
        page.goto(f"{site.address}/week/rules")
        assert page.locator(".needs > li").count() == 2


def test_a_stylist_arrives_with_a_record_from_another_academy(
    site, browser, manager, salon, monkeypatch
):
    other = OtherAcademy()
    record = other.record("Ines Dorval", since=clock.now().replace(microsecond=0)).decode()
    door = FakeDoor({LIST: lambda: other.status_list(clock.now())})
    monkeypatch.setattr(outside, "Door", lambda: door)
    stylist = a_person(site.work, organisation=salon, name="Ines Dorval")
    day = clock.today().isoformat()
    asked = f"{site.address}/clearance?person={stylist.id}&method=tape_in&service=fit&on={day}"
    with visiting(browser, 390) as page:
        site.sign_in(page, manager.email)
        page.goto(f"{site.address}/elsewhere")
        page.get_by_label("Link or text of the record").fill(record)
        press(page.get_by_role("button", name="Look at it"))
        assert page.get_by_text("Signed, but its issuer does not count here").is_visible()
        press(page.get_by_role("link", name="Accept this issuer"))
        page.get_by_label("What you call it").fill("Other Academy")
        page.get_by_label("Tape-in").check()
        page.get_by_label("Fit").check()
        press(page.get_by_role("button", name="Accept this issuer"))
        press(page.get_by_role("link", name="Records from elsewhere"))
        page.get_by_label("Link or text of the record").fill(record)
        press(page.get_by_role("button", name="Look at it"))
        assert page.get_by_text("It was issued to somebody called Ines Dorval").is_visible()
        page.get_by_label("They agree that we keep it").check()
        press(page.get_by_role("button", name="Keep this record"))
        assert page.get_by_text("It is not marked on its issuer's list").is_visible()
        page.goto(asked)
        assert page.locator(".answer-big").inner_text().strip().endswith("Cleared")
        other.marked.add(7)
        page.goto(f"{site.address}/elsewhere")
        press(page.get_by_role("button", name="Check its status now"))
        assert page.locator(".pill", has_text="no longer valid").is_visible()
        page.goto(asked)
        assert "Not cleared" in page.locator(".answer-big").inner_text()
