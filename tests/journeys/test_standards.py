"""A panel from its start to the adopted cut, in a real browser, at both widths."""

import os
from pathlib import Path

import pytest

from tests.journeys.test_every_page import faults
from tests.support.people import a_person, an_organisation
from tests.support.practised import a_sitting
from tests.support.site import press, visiting

METHOD = "tape_in"
SHOTS = os.environ.get("TRAINER_SHOTS", "")


def checked(page, width, name):
    """No fault on this page; a picture of it where somebody asked for one."""
    assert faults(page) == [], name
    if SHOTS:
        page.screenshot(path=str(Path(SHOTS) / f"{name}-{width}.png"), full_page=True)


def rate_all(page, said):
    """Rate each question as the pages ask for it; gives back how many there were."""
    count = 0
    while page.locator('input[name="of_ten"]').count():
        page.locator(f'input[name="of_ten"][value="{said(count)}"]').check()
        press(page.get_by_role("button", name="Keep and go on"))
        count += 1
    return count


@pytest.fixture
def cast(site):
    place = an_organisation(site.work, "Marsh Row Academy", "academy")
    raters = [
        a_person(site.work, "instructor", organisation=place, name=name)
        for name in ("Ines Varga", "Petra Lindqvist")
    ]
    boss = a_person(site.work, "administrator", organisation=place, name="Ada Morrow")
    for n in range(24):
        learner = a_person(site.work, organisation=place)
        with site.work.writing() as unit:
            row = a_sitting(learner, METHOD, True)
            row.score = 22 + n % 17
            unit.session.add(row)
    return raters, boss


def rating(site, browser, rater, width, round_number, lean):
    with visiting(browser, width) as page:
        site.sign_in(page, rater.email)
        page.goto(f"{site.address}/standards")
        checked(page, width, f"list-{round_number}")
        press(page.get_by_role("link", name="Open the panel").first)
        checked(page, width, f"panel-{round_number}")
        press(page.get_by_role("link", name="Start rating"))
        checked(page, width, f"question-{round_number}")
        assert rate_all(page, lambda n: lean + n % 3) > 15
        assert page.get_by_text("You have rated every question").count()
        if page.get_by_role("button", name="End the").count():
            press(page.get_by_role("button", name="End the"))


def test_a_panel_sets_the_cut(site, cast, browser):
    (first, second), boss = cast
    with visiting(browser, 1280) as page:
        site.sign_in(page, first.email)
        press(page.get_by_role("link", name="Standards"))
        press(page.get_by_role("button", name="Start a panel for Tape-in"))
        page.wait_for_url("**/panels/**")
        panel = page.url
    for number in (1, 2):
        rating(site, browser, first, 1280, number, 6)
        rating(site, browser, second, 390, number, 7)
    with visiting(browser, 390) as page:
        site.sign_in(page, first.email)
        page.goto(panel)
        for summary in page.locator("details > summary").all():
            press(summary)
        checked(page, 390, "result")
        assert page.get_by_text("Of the last 24 assessments here").count()
        press(page.get_by_role("button", name="Propose this cut"))
        assert page.get_by_text("waits for an administrator").count()
    with visiting(browser, 1280) as page:
        site.sign_in(page, boss.email)
        page.goto(panel)
        checked(page, 1280, "proposed")
        press(page.get_by_role("button", name="Adopt this cut"))
        checked(page, 1280, "adopted")
        page.goto(f"{site.address}/standards/{METHOD}/history")
        checked(page, 1280, "history")
        assert page.get_by_text("holds now").count()
        page.set_viewport_size({"width": 390, "height": 844})
        checked(page, 390, "history")
