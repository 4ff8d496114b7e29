"""A drawing is answered by a tap, by the keyboard and without script, in light and dark."""

import re

import pytest

from tests.journeys.test_every_page import faults
from tests.support.people import a_person
from tests.support.shown import shown
from tests.support.site import enter, press, visiting

POINTED = ("fault_in_section.fusion_bond", "fault_on_head_map.tape_in")
DRAWN = (
    *POINTED,
    "section_against_strand.clip_in",
    "safe_one_of_four.micro_link",
    "read_distance.beaded_row",
    "found_at_removal.sewn_weft",
)


def letter(page, name):
    return page.locator(".fig text", has_text=re.compile(f"^{name}$"))


@pytest.mark.parametrize("name", POINTED)
def test_a_tap_on_the_drawing_picks_its_letter(site, browser, name):
    someone = a_person(site.work)
    path, item = shown(site.work, someone, name)
    with visiting(browser, has_touch=True) as page:
        site.sign_in(page, someone.email)
        page.goto(site.address + path)
        for option in item.options:
            letter(page, option.id).tap(force=True)
            assert page.locator("input[name=choice]:checked").get_attribute("value") == option.id
            line = page.locator(f'path.fig-region[data-region="{option.id}"]')
            assert line.evaluate("one => getComputedStyle(one).strokeWidth") == "3px"
        letter(page, item.key[0]).tap(force=True)
        press(page.get_by_role("button", name="Answer"))
        assert page.locator(".mark.right").count() == 1
        assert page.locator(".figure").get_attribute("data-right") == item.key[0]


@pytest.mark.parametrize("name", POINTED)
def test_without_script_the_letters_do_it_and_the_pick_still_shows(site, browser, name):
    someone = a_person(site.work)
    path, item = shown(site.work, someone, name)
    with visiting(browser, java_script_enabled=False) as page:
        site.sign_in(page, someone.email)
        page.goto(site.address + path)
        page.locator(f'input[name="choice"][value="{item.key[0]}"]').check()
        press(page.locator(".figure summary"))
        assert page.locator(".figure li").first.is_visible()
        press(page.get_by_role("button", name="Answer"))
        assert page.locator(".mark.right").count() == 1


def test_the_keyboard_alone_reaches_words_and_letters(site, browser):
    someone = a_person(site.work)
    path, item = shown(site.work, someone, POINTED[0])
    with visiting(browser, 1280) as page:
        site.sign_in(page, someone.email)
        page.goto(site.address + path)
        page.locator(".figure summary").focus()
        page.keyboard.press("Enter")
        assert page.locator(".figure li").first.is_visible()
        page.keyboard.press("Tab")
        for _ in item.options:
            page.keyboard.press("ArrowDown")
            if page.evaluate("document.activeElement.value") == item.key[0]:
                break
        enter(page)
        assert page.locator(".mark.right").is_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_drawings_are_for_everybody(site, browser, width, scheme):
    someone = a_person(site.work)
    found = {}
    with visiting(browser, width, color_scheme=scheme) as page:
        site.sign_in(page, someone.email)
        for name in DRAWN:
            path, _ = shown(site.work, someone, name)
            page.goto(site.address + path)
            press(page.locator(".figure summary"))
            problems = faults(page)
            small = page.locator(".fig text").evaluate_all(
                "all => all.filter(one => one.getBoundingClientRect().height < 9).length"
            )
            if problems or small:
                found[name] = (problems, small)
    assert found == {}
