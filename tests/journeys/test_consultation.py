"""A whole consultation in a browser: with and without script, and for everybody."""

import pytest

from tests.journeys.test_every_page import faults
from tests.support.consulted import needed, right_answer
from tests.support.people import a_person
from tests.support.site import visiting
from trainer.core.items.codec import from_kept
from trainer.store import practice


def begin(site, page, someone):
    """Open a consultation from its topic's page; gives back its item."""
    site.sign_in(page, someone.email)
    page.goto(f"{site.address}/practice/tape_in/consultation")
    page.get_by_role("button", name="Begin a consultation").click()
    page.wait_for_url("**/consultations/*")
    with site.work.reading(someone.viewer) as unit:
        return from_kept(practice.shown(unit, page.url.rpartition("/")[2]).kept)


def send(page, button):
    """Press it, and wait for the page that answers."""
    with page.expect_navigation():
        button.click()


def step_through(page, steps):
    for step in steps:
        send(page, page.locator(f'button[name="step"][value="{step}"]'))


def fill_in(page, answer):
    for method, verdict in answer["decision"].items():
        page.locator(f'input[name="verdict_{method}"][value="{verdict}"]').check()
    plan = answer["plan"] or {"method": "none"}
    page.locator("#plan").select_option(plan["method"])
    for name in ("grams", "earliest", "return_from", "return_until"):
        if plan.get(name):
            page.locator(f"#{name}").fill(str(plan[name]))


@pytest.mark.parametrize("script", [True, False])
def test_from_the_wish_to_the_debrief(site, browser, script):
    someone = a_person(site.work)
    with visiting(browser, java_script_enabled=script) as page:
        item = begin(site, page, someone)
        answer = right_answer(item)
        step_through(page, needed(item)[:3])
        here = page.url.partition("#")[0]
        page.goto(f"{site.address}/practice")
        page.goto(here)
        assert page.locator(".found > li").count() == 3
        step_through(page, needed(item)[3:])
        send(page, page.get_by_role("link", name="Decide now"))
        fill_in(page, answer)
        send(page, page.get_by_role("button", name="This is my decision"))
        page.locator(f'input[name="words"][value="{answer["words"]}"]').check()
        send(page, page.get_by_role("button", name="Say it"))
        assert page.locator(".mark.right").count() == 1
        assert page.get_by_role("heading", name="What was hidden").count() == 1


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_each_of_its_pages_is_for_everybody(site, browser, width, scheme):
    someone = a_person(site.work)
    with visiting(browser, width, quiet=("400",), color_scheme=scheme) as page:
        item = begin(site, page, someone)
        assert faults(page) == []
        step_through(page, needed(item)[:4])
        assert faults(page) == []
        send(page, page.get_by_role("link", name="Decide now"))
        send(page, page.get_by_role("button", name="This is my decision"))
        assert page.get_by_role("alert").count() == 1
        assert faults(page) == []
        rash = {"method": "tape_in", "grams": 90, "earliest": item.givens["today"]}
        every = dict.fromkeys(item.givens["methods"], "go_ahead")
        fill_in(page, {"decision": every, "plan": rash})
        send(page, page.get_by_role("button", name="This is my decision"))
        page.locator('input[name="words"]').first.check()
        assert faults(page) == []
        send(page, page.get_by_role("button", name="Say it"))
        assert page.locator(".mark.not").count() == 1
        assert faults(page) == []
