"""A whole consultation in a browser: with and without script, and for everybody."""

import pytest
from playwright.sync_api import expect

from tests.journeys.test_every_page import faults
from tests.support.browser import SLOWEST
from tests.support.consulted import needed, right_answer, wrong_words
from tests.support.people import a_person
from tests.support.site import press, visiting
from trainer.core.items.codec import from_kept
from trainer.store import practice


def begin(site, page, someone):
    """Open a consultation from its topic's page; gives back its item."""
    site.sign_in(page, someone.email)
    page.goto(f"{site.address}/practice/tape_in/consultation")
    press(page.get_by_role("button", name="Begin a consultation"))
    page.wait_for_url("**/consultations/*")
    with site.work.reading(someone.viewer) as unit:
        return from_kept(practice.shown(unit, page.url.rpartition("/")[2]).kept)


def go_on(page, name, then):
    """Press what is called so, and wait for what the page that answers must hold once."""
    press(page.get_by_role("button", name=name).or_(page.get_by_role("link", name=name)))
    expect(then).to_have_count(1, timeout=SLOWEST)


def step_through(page, steps):
    """Take steps; one that is taken is offered no more, and its finding is on the card."""
    before = page.locator(".found > li").count()
    for taken, step in enumerate(steps, 1):
        button = page.locator(f'button[name="step"][value="{step}"]')
        press(button)
        expect(button).to_have_count(0, timeout=SLOWEST)
        expect(page.locator(".found > li")).to_have_count(before + taken, timeout=SLOWEST)


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
        first, rest = needed(item)[:3], needed(item)[3:]
        step_through(page, first)
        here = page.url.partition("#")[0]
        page.goto(f"{site.address}/practice")
        page.goto(here)
        expect(page.locator(".found > li")).to_have_count(len(first), timeout=SLOWEST)
        step_through(page, rest)
        go_on(page, "Decide now", page.locator("#plan"))
        fill_in(page, answer)
        go_on(page, "This is my decision", page.get_by_role("button", name="Say it"))
        page.locator(f'input[name="words"][value="{answer["words"]}"]').check()
        go_on(page, "Say it", page.locator(".mark.right"))
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
        go_on(page, "Decide now", page.locator("#plan"))
        go_on(page, "This is my decision", page.get_by_role("alert"))
        assert faults(page) == []
        rash = {"method": "tape_in", "grams": 90, "earliest": item.givens["today"]}
        right = item.key["decision"]
        wrong = {m: "decline" if v == "go_ahead" else "go_ahead" for m, v in right.items()}
        fill_in(page, {"decision": wrong, "plan": rash})
        go_on(page, "This is my decision", page.get_by_role("button", name="Say it"))
        page.locator(f'input[name="words"][value="{wrong_words(item)}"]').check()
        assert faults(page) == []
        go_on(page, "Say it", page.locator(".mark:not(.right)"))
        assert faults(page) == []
