"""The week check's pages: file in, rules confirmed, the same bookings again, nothing kept."""

from datetime import timedelta
from io import BytesIO

import pytest

from tests.support.diaries import row, table
from tests.support.people import a_person
from trainer import clock
from trainer.core.bookings.booking import week_of
from trainer.use_cases.fetch_outside import Fetched
from trainer.use_cases.refusals import InputProblem

CLIENT = "Zebedee Quillfeather"


@pytest.fixture
def team(issue, join):
    return [issue("Noor Haddad"), join("Bo Hart")]


def upload(content, name="week.csv"):
    return {"bookings": (BytesIO(content), name), "week": "2026-03-04"}


def this_week():
    return {"week": clock.today().isoformat()}


def bookings():
    """Sunday of this week: the records of these tests begin today."""
    on = (week_of(clock.today()).end - timedelta(days=1)).date().isoformat()
    rows = [f"{on},09:00,11:00,Noor Haddad,Tapes full head - Client {CLIENT}"]
    rows += [f"{on},{h}:00,{h + 1}:00,Bo,Tapes full head - {CLIENT} {h}" for h in (12, 13, 14)]
    return "\n".join(["Date,Start,End,Stylist,Title", *rows]).encode()


def carried(page):
    return page.split('name="carried" value="')[1].split('"')[0]


def test_a_week_from_file_to_rules_to_answer(visit, desk, team):
    browser = visit(desk)
    page = browser.post("/week", {**upload(bookings()), **this_week()})
    assert "4 bookings say" in page and 'value="Tapes full head"' in page
    assert "3 bookings are with" in page
    answers = {
        "carried": carried(page),
        "work_words_0": "Tapes full head",
        "work_0": "tape_in",
        "service_0": "fit",
        "person_words_0": "Bo",
        "person_0": team[1].id,
    }
    again = browser.post("/week/confirm", answers)
    assert "2 rules are kept" in again
    assert "1 cleared, <b>3 not cleared</b>, 0 to be asked about" in again
    assert again.count("Could do any of these:</b> Noor Haddad") == 1
    assert "Consultation and patch test still come first" in again
    next_week = browser.post("/week", {**upload(bookings()), **this_week()})
    assert "1 cleared, <b>3 not cleared</b>" in next_week
    rules = browser.get("/week/rules")
    assert "tapes full head" in rules and "Bo Hart" in rules


def test_no_service_is_taken_for_granted_and_answers_are_not_lost(visit, desk, team):
    """A removal read as a fit would clear whoever may only fit."""
    browser = visit(desk)
    content = bookings().replace(b"Tapes full head", b"Tapes removal")
    page = browser.post("/week", {**upload(content), **this_week()})
    assert '<option value="remove" selected>' in page and 'value="fit" selected' not in page
    vague = browser.post("/week", {**upload(bookings().replace(b"full head", b"x")), **this_week()})
    assert "selected>" not in vague
    answers = {"work_words_0": "Tapes", "work_0": "tape_in", "service_0": "", "person_0": "nobody"}
    answers |= {"carried": carried(vague), "person_words_0": "Bo"}
    again = browser.post("/week/confirm", answers, 400)
    assert "&#39;Tapes&#39; has no method or no service. Choose both" in again
    assert '<option value="tape_in" selected>' in again and 'value="nobody" selected' in again
    assert "none yet" in browser.get("/week"), "nothing of it is kept"
    typed = {"words": "tapes", "kind": "work", "method": "tape_in", "service": "", "who": "nobody"}
    assert "no service" in browser.post("/week/rules", typed, 400)


def test_nothing_about_clients_is_kept_or_logged(visit, desk, team, settings, sqlite_work, caplog):
    browser = visit(desk)
    page = browser.post("/week", {**upload(bookings()), **this_week()})
    words = {"work_words_0": "Tapes full head", "work_0": "tape_in", "service_0": "fit"}
    words |= {"person_words_0": "Bo", "person_0": team[1].id}
    again = browser.post("/week/confirm", {"carried": carried(page), **words})
    assert CLIENT in again, "the one who looks sees their own diary"
    with sqlite_work.reading() as unit:
        unit.connection.exec_driver_sql("PRAGMA wal_checkpoint")
    files = [one for one in settings.instance.rglob("*") if one.is_file()]
    assert any(one.suffix == ".db" for one in files)
    for name in CLIENT.split():
        assert [str(f) for f in files if name.casefold().encode() in f.read_bytes().lower()] == []
        assert name not in caplog.text
    assert any(b"tapes full head" in one.read_bytes() for one in files), "rules are what is kept"


@pytest.mark.parametrize(
    "spoil", [lambda text: text[:-9] + "A" * 9, lambda _: "", lambda _: "x" * 500_000]
)
def test_bookings_that_we_did_not_pack_are_refused(visit, desk, team, spoil):
    browser = visit(desk)
    page = browser.post("/week", {**upload(bookings()), **this_week()})
    assert "Give the file again" in browser.post(
        "/week/confirm", {"carried": spoil(carried(page))}, 400
    )


def test_bookings_packed_for_one_are_not_opened_for_another(visit, desk, team, sqlite_work, salon):
    page = visit(desk).post("/week", {**upload(bookings()), **this_week()})
    other = a_person(sqlite_work, "salon_manager", organisation=salon)
    said = visit(other).post("/week/confirm", {"carried": carried(page)}, 400)
    assert "somebody else" in said and CLIENT not in said


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "There is no file"),
        (b"Who,Colour\nNoor,red\n", "No column says when"),
        (b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", "No bookings in this week"),
        (table(row(9, "09:00", "Bo", "Tapes")), "choose another week"),
    ],
)
def test_a_file_that_cannot_be_used_says_why(visit, desk, content, said):
    assert said in visit(desk).post("/week", upload(content), 400)


def by_post(browser, content):
    """A file in a form, written by hand: the client of the tests leaves a large one open."""
    part = b'--x\r\nContent-Disposition: form-data; name="bookings"; filename="d.ics"\r\n\r\n'
    body, kind = part + content + b"\r\n--x--\r\n", "multipart/form-data; boundary=x"
    return browser.client.post("/week", data=body, content_type=kind).get_data(as_text=True)


def test_a_diary_of_many_years_is_taken_and_what_is_larger_is_told(visit, desk):
    years = b"BEGIN:VEVENT\r\nDTSTART:20200303T090000\r\nEND:VEVENT\r\n" * 30_000
    content = b"BEGIN:VCALENDAR\r\n" + years + b"END:VCALENDAR\r\n"
    assert "choose another week" in by_post(visit(desk), content)
    assert "At most 16 MB" in by_post(visit(desk), bytes(17 * 1024 * 1024))


class FakeDoor:
    """An outside that holds one file."""

    def __init__(self, content):
        self.content = content
        self.asked = []

    def fetch(self, text, largest):
        assert largest > 10_000_000
        self.asked.append(text)
        if isinstance(self.content, InputProblem):
            raise self.content
        return Fetched(self.content, "text/csv", None)


def test_an_address_is_kept_fetched_on_the_button_alone_and_forgotten(app, visit, desk, team):
    app.extensions["door"] = door = FakeDoor(bookings())
    browser = visit(desk)
    refused = browser.post("/week/address", {"address": "https://u:p@x.example/", "zone": ""}, 400)
    assert "name or password" in refused
    secret = "https://diary.example/secret-part.ics"
    home = browser.post("/week/address", {"address": secret, "zone": "Europe/Oslo"})
    assert "diary.example" in home and "secret-part" not in home
    assert door.asked == []
    assert "4 bookings say" in browser.post("/week/fetch", this_week())
    assert door.asked == [secret]
    app.extensions["door"] = FakeDoor(
        InputProblem("The address cannot be reached", "address", "Later.")
    )
    assert "cannot be reached" in browser.post("/week/fetch", this_week(), 400)
    browser.post("/week/address", {"address": "", "zone": "Europe/Oslo", "forget": "1"})
    assert "No address is kept" in browser.post("/week/fetch", this_week(), 400)
    assert 'selected value="Europe/Oslo"' in browser.get("/week/address")


def test_rules_are_added_by_hand_and_deleted(visit, desk, team):
    browser = visit(desk)
    assert "No rules yet" in browser.get("/week/rules")
    typed = {"words": "re-tape", "kind": "work", "method": "tape_in", "service": "maintain"}
    page = browser.post("/week/rules", typed | {"who": "nobody"})
    assert "Tape-in, maintain" in page
    address = page.split('action="/week/rules/')[1].split('"')[0]
    assert "No rules yet" in browser.post(f"/week/rules/{address}")
    browser.post("/week/rules/nothing/delete", code=404)
    browser.post("/week/rules", typed | {"who": "nobody", "words": "!"}, 400)


def test_the_example_is_for_downloading(visit, desk, team):
    assert "Noor Haddad" in visit(desk).get("/week/example.csv")
    assert "BEGIN:VEVENT" in visit(desk).get("/week/example.ics")
    visit(desk).get("/week/example.exe", 404)


def test_the_week_is_for_the_desk(visit, team):
    for page in ("/week", "/week/rules", "/week/address", "/week/example.csv"):
        visit(team[0]).get(page, 403)
