"""Extra time, pauses and larger type from the instructor's tick to the sitter's screen."""

import pytest

from tests.journeys.test_every_page import faults
from tests.support.admitted import a_module, begun
from tests.support.letting_in import open_for, sign_and_ask
from tests.support.people import a_person
from tests.support.site import answer_on_page, enter, press, visiting
from trainer import clock
from trainer.core.draw import Draw
from trainer.core.items.codec import from_kept
from trainer.core.marking.accommodation import Accommodation
from trainer.store import sittings
from trainer.use_cases import contest_question, finish_sitting
from trainer.use_cases.certify import Issuing
from trainer.use_cases.demo_learner import answer
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.sit_assessment import places_of, save_answer

METHOD = "tape_in"


@pytest.fixture
def learner(site):
    return a_person(site.work, name="Nell Orchard")


@pytest.fixture
def boss(site, learner):
    return a_person(site.work, "instructor", organisation=learner.organisation, name="Ada Thorn")


def checked(page):
    assert faults(page) == [], page.url


def test_more_time_pauses_and_larger_type(site, browser, learner, boss):
    a_module(site.work, learner, METHOD, now=clock.now())
    with visiting(browser, 320) as page:
        site.sign_in(page, learner.email)
        sign_and_ask(site, page, METHOD)
        checked(page)
        let_in(site, browser, boss)
        page.get_by_text("It is open for you now").wait_for()
        press(page.get_by_role("link", name="Look again"))
        checked(page)
        warm_up(page)
        press(page.get_by_role("button", name="Begin now"))
        page.wait_for_url("**/sittings/**")
        on_a_pause(site, page, learner)


def let_in(site, browser, boss):
    with visiting(browser) as page:
        site.sign_in(page, boss.email)
        page.goto(f"{site.address}/admissions")
        checked(page)
        press(page.get_by_role("link", name="Open for Nell Orchard"))
        checked(page)
        page.get_by_label("Double").check()
        open_for(
            site,
            page,
            "Nell Orchard",
            Half_as_much_again=True,
            How_many_pauses="2",
            Each_up_to="5 minutes",
            Larger_type=True,
        )


def warm_up(page):
    """By the keyboard alone, as the page tells."""
    press(page.get_by_role("link", name="Try a warm-up question"))
    page.wait_for_url("**/try/1")
    checked(page)
    page.locator('input[name="choice"]').first.focus()
    page.keyboard.press("ArrowDown")
    enter(page)
    assert page.locator(".mark").is_visible()
    checked(page)
    press(page.get_by_role("link", name="Back to the assessment"))


def on_a_pause(site, page, learner):
    """At a question of each shape: no sideways scroll; the pause hides it, and it comes back."""
    sitting_id = page.url.split("/sittings/")[1].split("/")[0]
    with site.work.reading(learner.viewer) as unit:
        row = sittings.own(unit, sitting_id)
        assert row.minutes == 90
        assert (row.closes_at - row.opened_at).total_seconds() == 90 * 60
        kinds = {one.kept["type"]: one for one in sittings.items(unit, sitting_id)}
    for one in kinds.values():
        page.goto(f"{site.address}/sittings/{sitting_id}/{one.position}")
        assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == "25.6px"
        checked(page)
    item = from_kept(one.kept)
    answer_on_page(page, item)
    press(page.get_by_role("button", name="Pause"))
    page.get_by_role("heading", name="You are on a pause").wait_for()
    checked(page)
    assert item.stem not in page.content()
    page.goto(f"{site.address}/sittings/{sitting_id}/{one.position}")
    assert item.stem not in page.content()
    with site.work.reading(learner.viewer) as unit:
        stopped = sittings.own(unit, sitting_id)
    press(page.get_by_role("button", name="Go on"))
    page.get_by_role("heading", name=f"Question {one.position} of 40").wait_for()
    assert page.get_by_text("1 left, up to 5 min").count()
    with site.work.reading(learner.viewer) as unit:
        again = sittings.own(unit, sitting_id)
        assert sittings.item(unit, sitting_id, one.position).answer is not None
    stood = clock.now() - stopped.paused_at
    assert again.closes_at > row.closes_at and again.closes_at - row.closes_at <= stood


def test_a_faulty_question_is_contested_withdrawn_and_the_sitting_decided_again(
    site, browser, learner, boss
):
    sitting_id = nearly_passed(site, learner, boss)
    with visiting(browser) as page:
        site.sign_in(page, learner.email)
        page.goto(f"{site.address}/sittings/{sitting_id}/result")
        assert page.get_by_text("Not passed yet").count()
        assert page.get_by_text("29 of 39 right. 30 were needed.").count()
        checked(page)
        wrong = page.locator("ul.answers li", has_text="not right")
        press(wrong.get_by_role("link").first)
        press(page.get_by_text("Something is wrong with this question"))
        page.get_by_label("What is wrong with it?").fill("Two of these are right at the chair.")
        press(page.get_by_role("button", name="Send"))
        page.get_by_text("An instructor will read it").wait_for()
        checked(page)
    with visiting(browser) as page:
        site.sign_in(page, boss.email)
        page.goto(f"{site.address}/contests")
        press(page.get_by_role("link", name="Read and answer"))
        uphold(page)
    with visiting(browser) as page:
        site.sign_in(page, learner.email)
        page.goto(f"{site.address}/sittings/{sitting_id}/result")
        said = page.locator("main").inner_text()
        assert "29 of 38 right. 29 were needed." in said and "Decided again" in said
        assert page.get_by_text("Not passed yet", exact=True).count() == 0
        for count in ("29 of 40 right", "29 of 39 right", "29 of 38 right"):
            assert page.locator("ol li", has_text=count).count() == 1
        assert page.get_by_text("does not count").count() == 2
        checked(page)


def uphold(page):
    page.get_by_label("faulty").first.check()
    page.locator("textarea").fill("You are right: both hold at the chair.")
    press(page.get_by_role("button", name="Answer"))
    page.get_by_text("withdrawn", exact=True).nth(1).wait_for()


def nearly_passed(site, learner, boss):
    """One question short, one found faulty already, no answer that could hurt somebody."""
    now, bank, draw = clock.now(), open_bank(), Draw("nearly")
    sitting_id = begun(site.work, bank, learner, METHOD, now=now, granted=Accommodation())
    with site.work.writing(learner.viewer) as unit:
        wrong = faulty = 0
        for place in places_of(unit, sittings.own(unit, sitting_id)):
            item = from_kept(sittings.item(unit, sitting_id, place.position).kept)
            right = item.critical or wrong == 11
            wrong += not right
            faulty = place.position if not right and wrong == 11 else faulty
            sent = answer(item, right, draw.branch(place.position))
            save_answer(unit, sitting_id, place.position, sent, "", now)
        finish_sitting.finish(unit, bank, sitting_id, now)
        contest_question.contest(unit, sitting_id, faulty, "No answer of these is right.", now)
    issuing = Issuing(site.settings.keys, site.address)
    with site.work.writing(boss.viewer) as unit:
        (one,) = contest_question.latest(unit)
        reach = contest_question.ONE
        contest_question.answer(unit, bank, one.id, True, "None is right.", reach, issuing, now)
    return sitting_id
