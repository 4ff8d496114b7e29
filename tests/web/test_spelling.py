"""Screens in British or American spelling; addresses, ids, names and citations stay."""

from html.parser import HTMLParser

import pytest

from tests.support.people import a_person, an_organisation
from trainer.core.knowledge.spelling import Respelling, respelling
from trainer.web.spelling.pages import respelt

PLAIN = Respelling({"colour": "color", "grey": "gray"}, frozenset({"grey"}))
SPOKEN = {"aria-label", "alt", "title", "placeholder", "data-label"}


@pytest.mark.parametrize(
    ("html", "expected"),
    [
        ("<p>Grey colour</p>", "<p>Gray color</p>"),
        ('<a href="/colour" id="colour">colour</a>', '<a href="/colour" id="colour">color</a>'),
        ('<input value="colour" aria-label="Colour">', '<input value="colour" aria-label="Color">'),
        ("<textarea>colour</textarea>colour", "<textarea>colour</textarea>color"),
        ('<b translate="no">colour <i>colour</i></b> colour',) * 1
        + ('<b translate="no">colour <i>colour</i></b> color',),
        ('<b translate="no">a<br>colour</b>colour', '<b translate="no">a<br>colour</b>color'),
        ("<script>colour</script><code>colour</code>",) * 2,
        ("<!-- colour -->colour", "<!-- colour -->color"),
        ("a &lt;colour&gt; &amp; grey", "a &lt;color&gt; &amp; gray"),
        ('<p title="a > colour">colour</p>', '<p title="a > color">color</p>'),
        ("<td>Rhona Grey</td>",) * 2,
    ],
)
def test_words_change_and_nothing_else(html, expected):
    assert respelt(html, PLAIN) == expected
    assert respelt(expected, PLAIN) == expected


class Skeleton(HTMLParser):
    """All tags with what is not spoken."""

    def __init__(self, html):
        super().__init__()
        self.found = []
        self.feed(html)

    def handle_starttag(self, tag, attributes):
        self.found.append((tag, [one for one in attributes if one[0] not in SPOKEN]))


PAGES = ("/methods", "/methods/tape_in/contraindications", "/methods/fusion_bond/print", "/adviser")


@pytest.mark.parametrize("address", (*PAGES, "/methods/search?q=colour", "/methods/sources", "/me"))
def test_a_whole_page_keeps_addresses_ids_and_values(visit, sqlite_work, bank, address):
    page = visit(a_person(sqlite_work)).get(address)
    once = respelt(page, respelling(bank))
    assert Skeleton(once).found == Skeleton(page).found
    assert respelt(once, respelling(bank)) == once


def test_a_person_chooses_on_their_own_page(visit, sqlite_work):
    here = visit(a_person(sqlite_work))
    assert '<html lang="en-GB">' in here.get("/practice") and ">Practise<" in here.get("/practice")
    page = here.post("/me/spelling", {"spelling": "american"})
    assert "Your spelling is set." in page and '<html lang="en-US">' in page
    page = here.get("/practice")
    assert ">Practice<" in page and "ractise" not in page
    here.post("/me/spelling", {"spelling": ""})
    assert ">Practise<" in here.get("/practice")


def test_a_place_chooses_and_a_person_may_differ(visit, sqlite_work):
    place = an_organisation(sqlite_work, "Colour House")
    boss = a_person(sqlite_work, "administrator", organisation=place, name="Rhona Grey")
    someone = a_person(sqlite_work, organisation=place)
    visit(boss).post("/me/organisation/spelling", {"spelling": "american"})
    page = visit(someone).get("/me")
    assert '<html lang="en-US">' in page and "Colour House" in page
    assert "Rhona Grey" in visit(boss).get("/people")
    visit(someone).post("/me/spelling", {"spelling": "british"})
    assert '<html lang="en-GB">' in visit(someone).get("/me")


def test_citations_stay_as_they_were_published(visit, sqlite_work):
    here = visit(a_person(sqlite_work))
    here.post("/me/spelling", {"spelling": "american"})
    page = here.get("/methods/sources")
    assert "Diversity in human hair growth, diameter, colour and shape" in page


def test_what_people_wrote_stays(visit, sqlite_work):
    """Even a name that is all of a text, and is a word of the table."""
    place = an_organisation(sqlite_work, "Fibre")
    boss = a_person(sqlite_work, "administrator", organisation=place, name="Colour")
    here = visit(boss)
    here.post("/me/spelling", {"spelling": "american"})
    page = here.get("/people")
    assert page.count("Colour</a>") == 2
    assert ">Fibre<" in here.get("/me")


def test_only_administrators_choose_for_a_place(visit, sqlite_work):
    here = visit(a_person(sqlite_work, "instructor"))
    assert "/me/organisation/spelling" not in here.get("/me")
    here.post("/me/organisation/spelling", {"spelling": "american"}, code=403)


def test_another_word_is_refused(visit, sqlite_work):
    visit(a_person(sqlite_work)).post("/me/spelling", {"spelling": "martian"}, code=400)


def test_strangers_read_british_and_choose_nothing(client):
    assert '<html lang="en-GB">' in client.get("/sign-in").get_data(as_text=True)
    assert "/sign-in" in client.post("/me/spelling", data={"spelling": "american"}).location
