"""A salon owner at the front desk: two letters, a tap, the answer; by thumb and by keyboard."""

import pytest

from tests.support.site import enter, press, visiting
from trainer.use_cases.demo_cast import PASSWORD, address_of

OWNER = address_of("Rosalind Achebe")
TWO_PAGES = 2
"""That come after the search, up to the reason; the answer itself is on the first."""


def is_a_page(request):
    return request.is_navigation_request()


@pytest.mark.parametrize("script", [True, False])
def test_on_a_phone_the_answer_is_two_taps_from_two_letters(demo_site, browser, script):
    with visiting(browser, 390, java_script_enabled=script) as page:
        demo_site.sign_in(page, OWNER, PASSWORD)
        press(page.get_by_role("link", name="Clearance"))
        page.get_by_label("Who?").wait_for()
        opened = []
        page.on("request", lambda one: opened.append(one.url) if is_a_page(one) else None)
        page.get_by_label("Who?").fill("na")
        if not script:
            press(page.get_by_role("button", name="Find"))
        else:
            names = page.locator(".people-taps a")
            names.nth(1).wait_for(state="detached")
            assert names.all_inner_texts() == ["Hester Nakamura"]
            press(names.first)
        fusion = page.get_by_role("link", name="Remove, Fusion bond: cleared", exact=True)
        assert "Consultation and patch test still come first" in page.inner_text("main")
        press(fusion)
        answer = page.get_by_role("region", name="Answer")
        assert answer.locator(".answer-big").inner_text().strip().endswith("Cleared")
        assert "holds a completion record for Fusion bond" in answer.inner_text()
        assert "not of this client" in answer.inner_text()
        assert len([one for one in opened if "q=" not in one]) == TWO_PAGES


def test_by_keyboard_alone(demo_site, browser):
    with visiting(browser, 1280) as page:
        demo_site.sign_in(page, OWNER, PASSWORD)
        page.goto(f"{demo_site.address}/clearance")
        key = page.keyboard.press
        page.locator("#q:focus").wait_for()
        page.keyboard.type("bra")
        page.get_by_text("1 with “bra”").wait_for()
        key("ArrowDown")
        assert page.evaluate("document.activeElement.textContent") == "Bram Olusola"
        enter(page)
        assert page.get_by_role("heading", name="Bram Olusola").is_visible()
        link = page.get_by_role("link", name="Remove, Micro-link", exact=False)
        link.focus()
        enter(page)
        main = page.get_by_role("main")
        said = main.inner_text()
        assert "The record for Micro-link ended on" in said
        assert "Not cleared" in said and "What would change it" in said
        main.get_by_text("It cannot wait?").focus()
        key("Enter")
        key("Tab")
        enter(page)
        assert main.get_by_role("heading", name="First").is_visible()
        said = main.inner_text()
        assert "an ambulance at once" in said
        assert "For a removal that cannot wait it still counts until" in said


ASKED_BY_HAND = """() => {
  window.asked = [];
  window.fetch = () => new Promise((give) => asked.push((name) =>
    give(new Response(`<li><a href="/">${name}</a></li>`))));
}"""
TYPED_OVER = """() => {
  const box = document.querySelector("#q");
  box.value = "br";
  box.dispatchEvent(new Event("input"));
  asked[0]("Only b");
}"""


def test_an_answer_to_letters_that_were_typed_over_is_not_shown(demo_site, browser):
    with visiting(browser, 390, bypass_csp=True) as page:
        demo_site.sign_in(page, OWNER, PASSWORD)
        page.goto(f"{demo_site.address}/clearance?q=a")
        names = page.locator(".people-taps a")
        before = names.all_inner_texts()
        page.evaluate(ASKED_BY_HAND)
        page.get_by_label("Who?").fill("b")
        page.wait_for_function("asked.length === 1")
        page.evaluate(TYPED_OVER)
        page.wait_for_function("asked.length === 2")
        assert names.all_inner_texts() == before
        page.evaluate("asked[1]('With br')")
        page.get_by_role("link", name="With br").wait_for()


def test_signed_out_meanwhile_the_list_stays_until_the_form_is_sent(demo_site, browser):
    with visiting(browser, 390, quiet=("Failed to load resource",)) as page:
        demo_site.sign_in(page, OWNER, PASSWORD)
        page.goto(f"{demo_site.address}/clearance?q=a")
        page.context.clear_cookies()
        with page.expect_event("requestfailed"):
            page.get_by_label("Who?").fill("br")
        assert page.locator(".people-taps input").count() == 0
        enter(page)
        assert page.get_by_role("heading", name="Sign in").is_visible()


def test_what_nobody_can_do_on_saturdays_is_seen_once_a_day_is_unticked(demo_site, browser):
    """Reads and unticks in a salon of the demo that no other journey reads."""
    with visiting(browser, 390) as page:
        demo_site.sign_in(page, address_of("Piet Marlowe"), PASSWORD)
        page.goto(f"{demo_site.address}/team/days")
        assert page.get_by_label("Maud Ferreira, Saturday").is_checked()
        page.get_by_label("Celeste Wray, Saturday").uncheck()
        press(page.get_by_role("button", name="Save the days"))
        page.goto(f"{demo_site.address}/team/gaps")
        said = page.get_by_role("main").inner_text()
        assert "Nobody can remove, fit or maintain tape-in on Saturdays" in said
        assert "Amaya Costigan" in said and "Still to be observed: remove" in said
