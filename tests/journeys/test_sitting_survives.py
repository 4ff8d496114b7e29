"""A sitting outlives its browser, killed twice, and its server, killed once: nothing is lost."""

import re

import pytest

from tests.support.admitted import opened
from tests.support.killable import BrowserProcess, ServerProcess
from tests.support.people import a_person
from tests.support.site import answer_on_page, press
from trainer import clock
from trainer.core.items.codec import from_kept
from trainer.core.items.registry import type_of
from trainer.core.marking.accommodation import Accommodation
from trainer.store import sittings
from trainer.use_cases.open_bank import open_bank

METHOD = "tape_in"
SAVED = "Saved. You can still change it."


@pytest.fixture
def one_day():
    """Not here: the server is a process of its own, and goes by the true clock."""


@pytest.fixture
def server(tmp_path):
    running = ServerProcess(tmp_path)
    running.start()
    yield running
    running.kill()
    running.site.work.close()


@pytest.fixture
def another(browser, tmp_path):
    """Makes one browser after another; none outlives the test."""
    there = []

    def make():
        there.append(BrowserProcess(browser, tmp_path / f"browser{len(there)}"))
        return there[-1]

    yield make
    for one in there:
        one.kill()


def kept(server, learner, sitting_id, number):
    with server.site.work.reading(learner.viewer) as unit:
        return sittings.item(unit, sitting_id, number)


def give(server, page, learner, sitting_id, number):
    """Answer on the page without pressing anything: it is saved by itself."""
    item = from_kept(kept(server, learner, sitting_id, number).kept)
    answer_on_page(page, item)
    page.get_by_text(SAVED).wait_for()
    return item


def right(server, learner, sitting_id, number):
    row = kept(server, learner, sitting_id, number)
    item = from_kept(row.kept)
    return row.answer is not None and type_of(item).mark(item, row.answer).right


def go_on(server, fresh, learner):
    """A browser in which nobody has been: sign in, and go on."""
    server.site.sign_in(fresh.page, learner.email)
    fresh.page.goto(f"{server.site.address}/assessments")
    press(fresh.page.get_by_role("link", name="Go on"))
    return fresh


def heading(page):
    return page.locator("h1").inner_text()


def test_nothing_is_lost_and_the_clock_is_the_same(server, another):
    learner = a_person(server.site.work)
    granted = Accommodation(50, 1, 5)
    opened(server.site.work, open_bank(), learner, METHOD, granted, now=clock.now())
    first = another()
    server.site.sign_in(first.page, learner.email)
    first.page.goto(f"{server.site.address}/assessments/{METHOD}")
    press(first.page.get_by_role("button", name="Begin now"))
    sitting_id = first.page.url.split("/sittings/")[1].split("/")[0]
    ends = kept(server, learner, sitting_id, 1).closes_at
    give(server, first.page, learner, sitting_id, 1)
    press(first.page.get_by_role("button", name="Keep"))
    press(first.page.get_by_role("link", name=re.compile(r"Question 5\s*,")))
    give(server, first.page, learner, sitting_id, 5)
    first.kill()

    before = clock.now()
    second = go_on(server, another(), learner)
    assert heading(second.page) == "Question 5 of 40"
    assert second.page.get_by_text(SAVED).count() == 1
    left = int(second.page.locator("[data-clock]").get_attribute("data-clock"))
    assert (ends - clock.now()).total_seconds() - 1 <= left <= (ends - before).total_seconds()
    press(second.page.get_by_role("link", name="Skip for now"))
    second.page.get_by_role("heading", name="Question 6 of 40").wait_for()
    server.kill()
    answer_on_page(second.page, from_kept(kept(server, learner, sitting_id, 6).kept))
    second.page.get_by_text("Not saved yet: no connection").wait_for()
    server.start()
    second.page.get_by_text(SAVED).wait_for()
    second.kill()

    third = go_on(server, another(), learner)
    assert heading(third.page) == "Question 6 of 40"
    for number in (1, 5, 6):
        assert right(server, learner, sitting_id, number)
    assert kept(server, learner, sitting_id, 1).closes_at == ends
    third.page.goto(f"{server.site.address}/sittings/{sitting_id}/finish")
    assert third.page.get_by_text("37 questions have no answer yet").count() == 1
