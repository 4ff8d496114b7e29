"""The method book on screen."""

import pytest

from tests.support.people import a_person


@pytest.fixture
def reader(visit, sqlite_work):
    return visit(a_person(sqlite_work))


def test_every_page_of_every_method_opens(reader, bank):
    home = reader.get("/methods")
    for method in bank.methods.values():
        assert method.name in home
        chapter = reader.get(f"/methods/{method.id}")
        assert "A training aid" in chapter
        for topic in {fact.topic for fact in bank.facts_of(method.id)}:
            assert f"/methods/{method.id}/{topic}" in chapter
            assert "A training aid" in reader.get(f"/methods/{method.id}/{topic}")
        assert "A training aid" in reader.get(f"/methods/{method.id}/steps")
        reader.get(f"/methods/{method.id}/differences")


def test_usual_practice_is_shown_as_such(reader, bank):
    pages = "".join(
        reader.get(f"/methods/tape_in/{topic}")
        for topic in {fact.topic for fact in bank.facts_of("tape_in")}
    )
    assert "Usual salon practice, no published source" in pages


def test_what_is_not_in_the_book_is_not_there(reader):
    for address in ("/methods/glue_gun", "/methods/tape_in/weather", "/methods/glue_gun/steps"):
        reader.get(address, 404)


def test_strangers_are_asked_to_sign_in(client):
    assert "/sign-in" in client.get("/methods").location
