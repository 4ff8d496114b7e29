"""Everything works without script, and by the keyboard alone."""

import pytest

from tests.support.admitted import a_module
from tests.support.letting_in import open_for, sign_and_ask
from tests.support.people import PASSWORD, a_person
from tests.support.shown import shown
from tests.support.site import answer_on_page, enter, press, visiting
from trainer.core.items.codec import from_kept
from trainer.core.scenarios.family import families
from trainer.store import sittings
from trainer.use_cases.open_bank import open_bank

TYPES = ("choose_one", "choose_all", "put_in_order", "number", "date", "point_at_figure")


def of_type(kind):
    """A family of that type."""
    return families(open_bank(), method="tape_in", type=kind)[0].id


@pytest.mark.parametrize("script", [True, False])
@pytest.mark.parametrize("kind", TYPES)
def test_every_type_is_answered_on_its_page(site, browser, kind, script):
    someone = a_person(site.work)
    path, item = shown(site.work, someone, of_type(kind), 11)
    with visiting(browser, java_script_enabled=script) as page:
        site.sign_in(page, someone.email)
        page.goto(site.address + path)
        before = page.content()
        assert item.explanation not in before
        assert not any(note in before for note in item.notes.values() if len(note) > 30)
        answer_on_page(page, item)
        press(page.get_by_role("button", name="Answer"))
        assert page.locator(".mark.right").count() == 1


def test_an_assessment_is_begun_and_kept_without_script(site, browser):
    someone = a_person(site.work, name="Petra Vance")
    boss = a_person(site.work, "instructor", organisation=someone.organisation)
    a_module(site.work, someone, "clip_in")
    with visiting(browser, java_script_enabled=False) as page:
        site.sign_in(page, someone.email)
        sign_and_ask(site, page, "clip_in")
    with visiting(browser, java_script_enabled=False) as page:
        site.sign_in(page, boss.email)
        open_for(site, page, "Petra Vance")
    with visiting(browser, java_script_enabled=False) as page:
        site.sign_in(page, someone.email)
        page.goto(f"{site.address}/assessments/clip_in")
        press(page.get_by_role("button", name="Begin now"))
        page.wait_for_url("**/sittings/**")
        sitting_id = page.url.split("/sittings/")[1].split("/")[0]
        with site.work.reading(someone.viewer) as unit:
            item = from_kept(sittings.item(unit, sitting_id, 1).kept)
        answer_on_page(page, item)
        press(page.get_by_role("button", name="Keep").first)
        page.goto(f"{site.address}/sittings/{sitting_id}/1")
        assert page.get_by_text("Saved. You can still change it").count() == 1


def test_signing_in_and_answering_by_the_keyboard_alone(site, browser):
    someone = a_person(site.work)
    path, item = shown(site.work, someone, of_type("choose_one"), 11)
    with visiting(browser, 1280) as page:
        page.goto(f"{site.address}/sign-in")
        tab_to(page, "email")
        page.keyboard.type(someone.email)
        page.keyboard.press("Tab")
        page.keyboard.type(PASSWORD)
        enter(page)
        assert page.url.endswith("/practice")
        page.goto(site.address + path)
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.textContent").startswith("Skip")
        tab_to(page, "choice")
        for _ in item.options:
            if page.evaluate("document.activeElement.value") == item.key[0]:
                break
            page.keyboard.press("ArrowDown")
        page.keyboard.press("Space")
        enter(page)
        assert page.locator(".mark.right").is_visible()


def tab_to(page, name):
    """Tab until a control of that name has the focus, which can be seen all the way."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.name") == name:
            return
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline != "none", page.evaluate("document.activeElement.outerHTML")
    raise AssertionError(f"no way to {name} by the keyboard")
