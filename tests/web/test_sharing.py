"""Screens of sharing: a holder's links, what a reader sees, and certificates."""

import pytest

from tests.support.people import a_person, an_organisation
from trainer import clock
from trainer.use_cases import share_record, withdraw


@pytest.fixture
def place(sqlite_work):
    return an_organisation(sqlite_work, "Quayside Academy")


@pytest.fixture
def holder(sqlite_work, place):
    return a_person(sqlite_work, organisation=place, name="Ines Dorval")


@pytest.fixture
def record_id(record_for, holder):
    return record_for(holder)


def token_of(work, holder, record_id):
    with work.reading(holder.viewer) as unit:
        return share_record.links(unit, record_id)[0].token


def test_a_holder_makes_a_link_and_ends_it(visit, sqlite_work, holder, record_id):
    mine = visit(holder)
    address = f"/records/{record_id}/links"
    assert address in mine.get("/records")
    assert "No links yet" in mine.get(address)
    page = mine.post(address, {"label": "Salon by the park", "shows": ["score"]})
    assert "Salon by the park" in page
    token = token_of(sqlite_work, holder, record_id)
    assert f"http://localhost/shared/{token}" in page
    reader = visit().get(f"/shared/{token}")
    assert "35 of 40" in reader and "Valid" in reader
    for hidden in ("Ines", "Petra", record_id, "record.json", "Get the record"):
        assert hidden not in reader.replace(token, "")
    with sqlite_work.reading(holder.viewer) as unit:
        link = share_record.links(unit, record_id)[0]
    mine.post(f"{address}/{link.id}/end")
    visit().get(f"/shared/{token}", 404)
    visit().get(f"/shared/{token}/certificate.pdf", 404)


def test_a_link_that_shows_all_also_gives_the_file(visit, sqlite_work, holder, record_id):
    sent = {"shows": list(share_record.PARTS)}
    visit(holder).post(f"/records/{record_id}/links", sent)
    page = visit().get(f"/shared/{token_of(sqlite_work, holder, record_id)}")
    assert f"/records/{record_id}.json" in page


def test_strangers_and_colleagues_see_no_links(visit, sqlite_work, place, record_id):
    for other in (
        a_person(sqlite_work, organisation=place),
        a_person(sqlite_work, "administrator", organisation=place),
    ):
        visit(other).get(f"/records/{record_id}/links", 404)
        visit(other).post(f"/records/{record_id}/links", {"shows": ["name"]}, 404)


def test_a_choice_that_is_not_offered_is_refused(visit, holder, record_id):
    page = visit(holder).post(f"/records/{record_id}/links", {"shows": ["everything"]}, 400)
    assert 'role="alert"' in page
    assert "No links yet" in page


def test_certificates_are_given_while_the_record_holds(
    visit, client, sqlite_work, place, holder, record_id
):
    assert "certificate.pdf" in visit().get(f"/check/{record_id}")
    answer = client.get(f"/records/{record_id}/certificate.pdf")
    assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
    assert answer.data.startswith(b"%PDF")
    boss = a_person(sqlite_work, "instructor", organisation=place)
    with sqlite_work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record_id, "A complaint is looked into.", clock.now())
    assert "does not hold today" in visit().get(f"/records/{record_id}/certificate.pdf", 400)
    assert "certificate.pdf" not in visit().get(f"/check/{record_id}")
