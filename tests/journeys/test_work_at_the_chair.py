"""At the chair in a browser: two observers, a photo, what to do next; then a record renewed."""

from datetime import timedelta
from io import BytesIO

import pytest
from PIL import Image

from tests.journeys.test_every_page import faults
from tests.support.admitted import opened
from tests.support.letting_in import sign_and_ask
from tests.support.people import PASSWORD, a_person, an_organisation
from tests.support.practised import a_sitting
from tests.support.site import answer_on_page, press, visiting
from trainer import clock
from trainer.core.items.codec import from_kept
from trainer.store import observations, records, sittings
from trainer.use_cases.certify import Issuing
from trainer.use_cases.keep_photos import Album
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.sign_off import Signing, Watched, sign
from trainer.web.app import LARGEST_REQUEST

METHOD = "tape_in"
NEXT = "Leave a finger's width at the nape, then show it again."


@pytest.fixture
def cast(site):
    place = an_organisation(site.work, "Marsh Row Academy")
    boss, other, chief = (
        a_person(site.work, role, organisation=place, name=name)
        for name, role in (
            ("Ines Varga", "instructor"),
            ("Kofi Aldersey", "instructor"),
            ("Ottoline Brask", "administrator"),
        )
    )
    learner = a_person(site.work, organisation=place, name="Mina Torvald")
    return boss, other, chief, learner


def checked(page):
    assert faults(page) == []


def test_two_observers_a_photo_and_what_to_do_next(site, browser, cast, tmp_path):
    boss, other, chief, learner = cast
    switch_on(site, browser, chief)
    first_sheet(site, browser, boss, learner, a_photo(tmp_path))
    second_sheet(site, browser, other, learner)
    with visiting(browser) as page:
        site.sign_in(page, learner.email)
        page.goto(f"{site.address}/observations/mine")
        checked(page)
        press(page.locator("ul.rows a").last)
        assert page.get_by_text(NEXT).count()
        shown = page.locator("ul.shots img")
        assert shown.evaluate("image => image.decode().then(() => image.naturalWidth)") == 900
        checked(page)
        press(page.locator('a[href*="/steps#step-fit-"]').first)
        assert page.locator(":target").count() == 1


def a_photo(folder):
    """Taken sideways, larger than any other form may be."""
    image = Image.effect_noise((2400, 1350), 60).convert("RGB")
    exif = image.getexif()
    exif[0x0112] = 6
    out = BytesIO()
    image.save(out, "JPEG", exif=exif, quality=90)
    assert len(out.getvalue()) > LARGEST_REQUEST
    path = folder / "work.jpg"
    path.write_bytes(out.getvalue())
    return path


def switch_on(site, browser, chief):
    with visiting(browser) as page:
        site.sign_in(page, chief.email)
        page.goto(f"{site.address}/people")
        press(page.get_by_role("link", name="One observer or two"))
        checked(page)
        press(page.get_by_role("button", name="Ask for a second observer"))
        assert page.get_by_text("On.", exact=True).count()


def first_sheet(site, browser, boss, learner, photo):
    with visiting(browser, quiet=("400",)) as page:
        site.sign_in(page, boss.email)
        page.goto(f"{site.address}/observations/{learner.id}/{METHOD}/fit")
        for box in page.locator('input[name="met"]').all():
            if box.get_attribute("value") != "tape_in.fit_3":
                box.check()
        page.get_by_label("Your password").fill(PASSWORD)
        press(page.get_by_role("button", name="Sign"))
        assert page.get_by_role("alert").get_by_text("What to do next").count()
        checked(page)
        page.get_by_label("What to do next").fill(NEXT)
        press(page.get_by_text("Add photos"))
        page.get_by_label("Photos", exact=True).set_input_files(photo)
        page.get_by_label("The client agreed to the photo").check()
        checked(page)
        page.get_by_label("Your password").fill(PASSWORD)
        press(page.get_by_role("button", name="Sign"))
        page.wait_for_url(lambda url: url.rsplit("/", 1)[1] not in ("fit", "second"))
        assert page.get_by_text("Not yet competent").count()
        checked(page)


def second_sheet(site, browser, other, learner):
    with visiting(browser) as page:
        site.sign_in(page, other.email)
        page.goto(f"{site.address}/observations")
        checked(page)
        press(page.get_by_role("link", name="I watched it too"))
        assert NEXT not in page.content()
        for box in page.locator('input[name="met"]').all():
            assert not box.is_checked()
            box.check()
        checked(page)
        page.get_by_label("Your password").fill(PASSWORD)
        press(page.get_by_role("button", name="Sign"))
        page.wait_for_url(lambda url: not url.endswith("/second"))
        page.goto(f"{site.address}/observations/two")
        assert page.get_by_text("Too few to say").count()
        checked(page)


def test_a_record_that_ends_is_renewed_by_a_refresh_set(site, browser, cast):
    boss, _, _, learner = cast
    now = clock.now()
    issue(site, boss, learner, now - timedelta(days=340))
    with visiting(browser) as page:
        site.sign_in(page, learner.email)
        page.goto(f"{site.address}/records")
        press(page.get_by_role("link", name="What ends soon"))
        checked(page)
        press(page.get_by_role("button", name="Make a secret address"))
        address = page.locator("p.secret").inner_text().strip()
        checked(page)
        assert "BEGIN:VEVENT" in page.request.get(address).text()
        press(page.get_by_role("link", name="Renew by a refresh set"))
        checked(page)
        sign_and_ask(site, page, METHOD, f"/endings/mine/{METHOD}/refresh")
        checked(page)
        opened(site.work, open_bank(), learner, METHOD, kind="refresh", now=now)
        press(page.get_by_role("link", name="Look again"))
        press(page.get_by_role("button", name="Begin now"))
        page.wait_for_url("**/sittings/**")
        sitting_id = page.url.split("/sittings/")[1].split("/")[0]
        answer_all(site, page, learner, sitting_id)
        assert "passed" in page.locator("main").inner_text().lower()
        page.goto(f"{site.address}/endings/mine")
        assert not page.get_by_role("link", name="Renew by a refresh set").count()
    watch_all(site, boss, learner, now)
    with site.work.reading(learner.viewer) as unit:
        new, old = records.held(unit, learner.id, METHOD)
        assert new.valid_until.year == old.valid_until.year + 1
        assert new.valid_until.date().replace(year=old.valid_until.year) == old.valid_until.date()
        assert observations.latest_watching(unit, learner.id, METHOD)
    with visiting(browser, 1280) as page:
        site.sign_in(page, boss.email)
        page.goto(f"{site.address}/endings")
        assert page.get_by_text("Nothing ends soon").count()
        checked(page)


def issue(site, boss, learner, at):
    with site.work.writing() as unit:
        unit.session.add(a_sitting(learner, METHOD, True, at - timedelta(days=2)))
    watch_all(site, boss, learner, at)


def watch_all(site, boss, learner, at):
    issuing = Issuing(site.settings.keys, site.address)
    signing = Signing(0.8, issuing, Album(site.settings.evidence))
    bank = open_bank()
    for service in ("fit", "maintain", "remove"):
        met = [one.id for one in bank.criteria_of(METHOD, service)]
        watched = Watched(learner.id, METHOD, service, met, "", at.date())
        with site.work.writing(boss.viewer) as unit:
            sign(unit, bank, watched, Proven(boss.id), signing, at)


def answer_all(site, page, learner, sitting_id):
    number = 0
    while page.url.rsplit("/", 1)[1] != "finish":
        number += 1
        page.goto(f"{site.address}/sittings/{sitting_id}/{number}")
        with site.work.reading(learner.viewer) as unit:
            row = sittings.own(unit, sitting_id)
            item = from_kept(sittings.item(unit, sitting_id, number).kept)
        answer_on_page(page, item)
        press(page.get_by_role("button", name="Keep").first)
        if number == row.most:
            page.goto(f"{site.address}/sittings/{sitting_id}/finish")
    press(page.get_by_role("button", name="Finish"))
    page.wait_for_url("**/result")
