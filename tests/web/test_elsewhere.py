"""The pages of records from elsewhere: look, keep, check, let go; and the issuers that count."""

from io import BytesIO

import pytest
import segno

from tests.support.elsewhere import LIST, FakeDoor, OtherAcademy
from tests.support.people import a_person
from trainer import clock

LINK = "https://other.example/check/7"
FILE = "https://other.example/records/7.json"
PAGE = b'<html><link rel="alternate" type="application/vc+ld+json" href="/records/7.json"></html>'


@pytest.fixture
def stylist(sqlite_work, salon):
    return a_person(sqlite_work, organisation=salon, name="Noor Haddad")


@pytest.fixture
def other():
    return OtherAcademy()


@pytest.fixture
def record(other):
    return other.record("Noor Haddad", since=clock.now().replace(microsecond=0))


@pytest.fixture
def door(app, other, record):
    files = {LINK: PAGE, FILE: record, LIST: lambda: other.status_list(clock.now())}
    app.extensions["door"] = made = FakeDoor(files)
    return made


def accepted(browser, other, **more):
    given = {"name": "Other Academy", "identity": other.did}
    given |= {"methods": ["tape_in"], "services": ["fit", "remove"]}
    return browser.post("/elsewhere/issuers", given | more)


def question(stylist, service="fit"):
    day = clock.today().isoformat()
    return f"/clearance?person={stylist.id}&method=tape_in&service={service}&on={day}"


def test_from_a_link_to_a_cleared_stylist_and_back(visit, desk, stylist, door, other, record):
    browser = visit(desk)
    page = browser.post("/elsewhere", {"text": LINK})
    assert door.asked == [LINK, FILE]
    assert "its issuer does not count here" in page
    assert "Records of Other Academy count from now on" in accepted(browser, other)
    page = browser.post("/elsewhere", {"text": record.decode()})
    assert "Would count here" in page and "somebody called Noor Haddad" in page
    sent = {"document": record.decode(), "person": stylist.id}
    assert "Nobody says that its holder agreed" in browser.post("/elsewhere/keep", sent, 400)
    page = browser.post("/elsewhere/keep", sent | {"agreed": "y"})
    assert "It is not marked" in page and "Status last checked" in page
    assert door.asked[-1] == LIST
    assert "Cleared" in browser.get(question(stylist))
    other.marked.add(7)
    record_id = page.split('action="/elsewhere/')[2].split("/")[0]
    page = browser.post(f"/elsewhere/{record_id}/status")
    assert "no longer valid" in page
    assert "Not cleared" in browser.get(question(stylist))
    assert "None yet" in browser.post(f"/elsewhere/{record_id}/remove")


def test_a_list_that_is_not_there_says_so_and_clears_nobody(
    visit, desk, stylist, door, other, record
):
    browser = visit(desk)
    accepted(browser, other)
    del door.files[LIST]
    sent = {"document": record.decode(), "person": stylist.id, "agreed": "y"}
    page = browser.post("/elsewhere/keep", sent)
    assert "Status not checked: The address cannot be reached" in page
    assert "Status never checked" in page
    assert "Status not checked" in browser.get(question(stylist))


@pytest.mark.parametrize("what", [LINK, "record"])
def test_a_photo_of_its_qr_code(visit, desk, stylist, door, record, what):
    picture = BytesIO()
    said = LINK if what == LINK else record.decode()[:600]
    segno.make_qr(said).save(picture, kind="png", scale=6)
    picture.seek(0)
    code = 200 if what == LINK else 400
    page = visit(desk).post("/elsewhere", {"photo": (picture, "qr.png")}, code)
    assert ("Signed, but" if what == LINK else "Not JSON") in page


def test_ways_of_giving_nothing(visit, desk, stylist, door):
    browser = visit(desk)
    blank = BytesIO()
    from PIL import Image

    Image.new("RGB", (200, 200), "white").save(blank, "PNG")
    for sent, said in (
        ({}, "There is no record in it"),
        ({"text": "https://other.example/gone"}, "cannot be reached"),
        ({"text": "some words"}, "not an address"),
        ({"record_file": (BytesIO(b"\xff\xfe\x00"), "a.json")}, "neither a record nor a link"),
        ({"photo": (BytesIO(blank.getvalue()), "a.png")}, "No QR code"),
        ({"photo": (BytesIO(b"junk"), "a.png")}, "cannot be read"),
    ):
        assert said in browser.post("/elsewhere", sent, 400)
    door.files["https://other.example/plain"] = b"<html>nothing here</html>"
    page = browser.post("/elsewhere", {"text": "https://other.example/plain"}, 400)
    assert "names no record file" in page


def test_an_issuer_is_accepted_by_the_manager_and_ended(
    visit, desk, salon, sqlite_work, other, door
):
    browser = visit(desk)
    assert "None yet" in browser.get("/elsewhere/issuers")
    wrong = {"name": "x", "identity": "not a key", "methods": ["tape_in"], "services": ["fit"]}
    assert "Please look at these again" in browser.post("/elsewhere/issuers", wrong, 400)
    page = accepted(browser, other)
    address = page.split('action="/elsewhere/issuers/')[1].split('"')[0]
    teacher = visit(a_person(sqlite_work, "instructor", organisation=salon))
    assert "A salon manager or an administrator decides" in teacher.get("/elsewhere/issuers")
    teacher.post(f"/elsewhere/issuers/{address}", code=403)
    visit(a_person(sqlite_work, "salon_manager")).post(f"/elsewhere/issuers/{address}", code=404)
    assert "None yet" in browser.post(f"/elsewhere/issuers/{address}")


def test_records_from_elsewhere_are_for_the_desk(visit, stylist):
    visit(stylist).get("/elsewhere", 403)
    visit(stylist).get("/elsewhere/issuers", 403)
