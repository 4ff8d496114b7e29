"""From the agreement to the open assessment, on the pages as people use them."""

from tests.support.people import PASSWORD
from tests.support.site import press

SEEN = "Identity card"


def sign_and_ask(site, page, method, address=""):
    """An apprentice who is signed in signs the agreement, and asks to sit."""
    start = f"{site.address}{address or f'/assessments/{method}'}"
    page.goto(start)
    if page.get_by_role("link", name="Read and sign it").count():
        press(page.get_by_role("link", name="Read and sign it"))
        press(page.get_by_text("I have read this, and I agree to it."))
        page.get_by_label("Your password").fill(PASSWORD)
        press(page.get_by_role("button", name="Sign"))
        page.get_by_text("You can read it again").wait_for()
        page.goto(start)
    press(page.get_by_role("button", name="Ask to sit"))
    page.get_by_role("heading", name="You have asked to sit").wait_for()


def open_for(site, page, name, **easier):
    """An instructor who is signed in opens it. `easier`: label of a field -> option, or True."""
    page.goto(f"{site.address}/admissions")
    press(page.get_by_role("link", name=f"Open for {name}"))
    page.get_by_label(SEEN).check()
    for label, chosen in easier.items():
        given = label.replace("_", " ")
        if chosen is True:
            page.get_by_label(given).check()
        else:
            page.get_by_label(given).select_option(chosen)
    press(page.get_by_role("button", name=f"Open it for {name}"))
    page.get_by_text(f"Open for {name}. The clock starts").wait_for()
