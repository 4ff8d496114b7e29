"""Book, search, adviser and spelling in a real browser: for everybody, with and without script."""

import re

import pytest

from tests.journeys.test_every_page import faults
from tests.support.people import a_person
from tests.support.site import press, visiting

PAGES = (
    "/methods",
    "/methods/tape_in",
    "/methods/tape_in/contraindications",
    "/methods/fusion_bond/steps",
    "/methods/sewn_weft/differences",
    "/methods/fusion_bond/print",
    "/methods/sources",
    "/methods/search?q=patch+test",
    "/methods/search?q=zebra",
    "/adviser",
    "/me",
)


def ask(page, site):
    """A client whose skin test is a day old, as people would write it."""
    page.goto(f"{site.address}/adviser")
    press(page.get_by_text("Hair worn before, and the skin test"))
    page.get_by_label("What the skin test shows").select_option("clear")
    page.get_by_label("Hours since a skin test").fill("20")
    press(page.get_by_role("button", name="See what can be done"))


@pytest.mark.parametrize("scheme", ["dark", "light"])
@pytest.mark.parametrize("width", [390, 1280])
def test_every_page_is_for_everybody(site, browser, width, scheme):
    someone = a_person(site.work, "instructor", "administrator")
    found = {}
    with visiting(browser, width, quiet=("400",), color_scheme=scheme) as page:
        site.sign_in(page, someone.email)
        for path in PAGES:
            page.goto(site.address + path)
            found[path] = faults(page)
        ask(page, site)
        for fold in page.locator("details").all():
            fold.evaluate("one => one.open = true")
        found["the answer"] = faults(page)
        page.get_by_label("Length of the client's own hair").fill("long")
        press(page.get_by_role("button", name="See the answer again"))
        assert page.get_by_role("alert").count() == 1
        found["a mistake"] = faults(page)
    assert {path: problems for path, problems in found.items() if problems} == {}


def test_search_and_adviser_without_script(site, browser):
    someone = a_person(site.work)
    with visiting(browser, java_script_enabled=False) as page:
        site.sign_in(page, someone.email)
        page.goto(f"{site.address}/methods")
        page.get_by_label("Search the book").fill("ringworm")
        press(page.get_by_role("button", name="Search"))
        page.wait_for_url("**/methods/search?q=ringworm")
        press(page.get_by_role("link", name="Read it in the book").first)
        page.wait_for_url(re.compile("#"))
        assert page.locator(":target").is_visible()
        ask(page, site)
        assert page.locator(".glance .wait").inner_text().startswith("Tape-in")
        press(page.get_by_role("link", name="Tape-in").first)
        assert page.locator("#of-tape_in").is_visible()


def test_on_paper_nothing_is_folded_and_no_way_around_is_left(site, browser):
    someone = a_person(site.work)
    with visiting(browser, 1280) as page:
        site.sign_in(page, someone.email)
        page.goto(f"{site.address}/methods/tape_in/print")
        page.emulate_media(media="print")
        assert not page.locator("nav").is_visible()
        assert not page.get_by_text("made for paper").is_visible()
        assert page.locator(".notice").first.is_visible()
        assert page.locator("ol.sources > li").last.is_visible()
        page.goto(f"{site.address}/methods/tape_in/steps")
        page.emulate_media(media="print")
        folded = page.locator("details:not([open]) .steps > li").first
        assert folded.bounding_box()["height"] > 0
        assert not page.locator(".crumbs").is_visible()


def test_a_page_in_american_spelling_is_for_everybody_too(site, browser):
    someone = a_person(site.work)
    with visiting(browser) as page:
        site.sign_in(page, someone.email)
        page.goto(f"{site.address}/me")
        page.get_by_role("radio", name="American").check()
        press(page.get_by_role("button", name="Keep my spelling"))
        assert page.evaluate("document.documentElement.lang") == "en-US"
        page.goto(f"{site.address}/practice")
        assert page.get_by_role("link", name="Practice", exact=True).count() == 1
        assert faults(page) == []
