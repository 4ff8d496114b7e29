"""An administrator asks somebody; they say yes on a phone, and stand on the page People."""

import pytest

from tests.support.people import PASSWORD, a_person, an_organisation
from tests.support.site import press, visiting

NEW = "nell.rowe@example.org"


@pytest.mark.parametrize("script", [True, False])
def test_asked_at_the_desk_and_answered_on_a_phone(site, browser, script):
    salon = an_organisation(site.work, "Juniper Street", "salon")
    boss = a_person(site.work, "administrator", organisation=salon, name="Odile Farr")
    with (
        visiting(browser, 1280, java_script_enabled=script) as desk,
        visiting(browser, 390, java_script_enabled=script) as phone,
    ):
        site.sign_in(desk, boss.email)
        press(desk.get_by_role("link", name="People", exact=True))
        press(desk.get_by_role("link", name="Invite somebody"))
        desk.get_by_label("Name").fill("Nell Rowe")
        desk.get_by_label("E-mail address").fill(NEW)
        desk.get_by_label("Apprentice").check()
        press(desk.get_by_role("button", name="Ask them"))
        phone.goto(desk.locator("code").inner_text())
        said = phone.get_by_role("main").inner_text()
        assert f"This is for {NEW}" in said and "under the name Nell Rowe" in said
        phone.get_by_label("New password").fill(PASSWORD)
        press(phone.get_by_role("button", name="Yes, I join"))
        phone.get_by_label("E-mail address").fill(NEW)
        phone.get_by_label("Password").fill(PASSWORD)
        press(phone.get_by_role("button", name="Sign in"))
        press(phone.get_by_role("link", name="Nell Rowe"))
        assert phone.get_by_role("heading", name="Juniper Street").is_visible()
        press(desk.get_by_role("link", name="Back to people"))
        row = desk.get_by_role("row", name="Nell Rowe")
        assert NEW in row.inner_text() and "Apprentice" in row.inner_text()
        assert "Asked, not answered yet" not in desk.get_by_role("main").inner_text()
