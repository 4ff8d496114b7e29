"""A holder shares a record with a salon: shows what is needed, prints it, and ends the link."""

from urllib.parse import urlsplit

import pytest

from tests.support.paper import opened, read_qr, words_of
from tests.support.people import a_person
from tests.support.records import Earned, a_record
from tests.support.site import press, visiting
from trainer import clock
from trainer.use_cases.certify import Issuing

HOLDER = "Ines Dorval"


@pytest.fixture
def holder_of_one(site, bank, monkeypatch):
    """Somebody with a record, issued here."""
    earned = Earned({})
    earned.put_in_place(monkeypatch)
    someone = a_person(site.work, name=HOLDER)
    issuing = Issuing(site.settings.keys, site.address)
    a_record(site.work, bank, earned, issuing, someone, now=clock.now())
    return someone


@pytest.mark.parametrize("width", [390, 1280])
def test_a_link_hides_what_the_holder_hides_and_ends_when_told(site, browser, holder_of_one, width):
    label = f"Salon {width}"
    with visiting(browser, width) as holder:
        site.sign_in(holder, holder_of_one.email)
        holder.goto(f"{site.address}/records")
        press(holder.get_by_role("link", name="Share it, and choose what to show").first)
        holder.get_by_label("Whom it is for").fill(label)
        holder.get_by_label("My name").uncheck()
        holder.get_by_label("My score, and how sure the decision is").check()
        press(holder.get_by_role("button", name="Make this link"))
        card = holder.locator("section", has=holder.get_by_role("heading", name=label))
        link = card.locator(".fingerprint").inner_text().strip()

        with visiting(browser, width, quiet=("404",)) as salon:
            salon.goto(link)
            page = salon.locator("main").inner_text()
            assert "Valid" in page and "needed" in page
            assert HOLDER not in page
            paper = salon.request.get(f"{link}/certificate.pdf").body()
            assert read_qr(paper) == [link]
            assert HOLDER not in words_of(paper)
            assert list(opened(paper).attachments) == []

            press(card.get_by_role("button", name="End this link"))
            holder.get_by_text("The link is ended").wait_for()
            salon.goto(link)
            assert "Nothing here" in salon.locator("main").inner_text()
        assert urlsplit(holder.url).path.endswith("/links")
