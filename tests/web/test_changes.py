"""Changed facts on screen: the list, one change, the offer, and a holder's own top-up."""

from datetime import timedelta

import pytest

from tests.support.changed import answer, item_shown, older, sent_for
from tests.support.people import a_person, an_organisation
from tests.web.test_closed import open_sitting
from trainer import clock
from trainer.use_cases import keep_people
from trainer.use_cases.see_changes import HOLDERS

OLD, NEW = "0 to about 3 mm", "0 to about 1 mm"


def due(days=10):
    return (clock.today() + timedelta(days=days)).isoformat()


@pytest.fixture
def house(sqlite_work, salon, bank, a_change, stylist, desk):
    """The salon of `stylist`, whose record is from before; and the change."""
    return a_change(sqlite_work, bank, clock.now())


@pytest.fixture
def noor(sqlite_work, stylist, salon):
    """The stylist as they look at the salon."""
    return a_person_there(stylist, salon)


def a_person_there(someone, place, role="apprentice"):
    viewer = type(someone.viewer)(someone.id, place, frozenset({role}))
    return type(someone)(someone.id, someone.email, place, viewer)


def test_before_anything_changes_the_list_says_what_it_is_for(visit, desk):
    assert "No safety fact has changed" in visit(desk).get("/changes")


def test_the_list_and_one_change_with_both_sides(visit, sqlite_work, desk, house):
    here = visit(desk)
    assert 'href="/changes"' in here.get("/methods")
    html = here.get("/needs")
    assert "A safety fact has changed: 1 person holds a record that leaned on it" in html
    assert "1 person holds a record" in here.get("/changes")
    html = here.get(f"/changes/{house}")
    assert OLD in html and NEW in html and "Noor Haddad" in html
    assert "Tape-in" in html and "Offer a top-up" in html


def test_the_offer_is_kept_and_what_is_wrong_stands_at_its_field(visit, desk, house):
    here, address = visit(desk), f"/changes/{house}/top-up"
    html = here.post(address, {"length": "12", "due_on": due()}, 400)
    assert "12 questions cannot be" in html and 'value="12"' in html
    assert "That day is over" in here.post(address, {"length": "5", "due_on": due(-1)}, 400)
    assert "Write year-month-day" in here.post(address, {"length": "5", "due_on": "soon"}, 400)
    assert "Write a number" in here.post(address, {"due_on": due()}, 400)
    html = here.post(address, {"length": "5", "due_on": due(), "required": "y"})
    assert "It is on their pages now" in html and "not begun" in html
    assert "checked" in html.split("After that day, supervised only")[0][-120:]
    assert "0 of 1 finished" in here.get("/changes")


def test_an_instructor_leaves_what_they_may_not_settle(visit, sqlite_work, salon, desk, house):
    visit(desk).post(f"/changes/{house}/top-up", {"length": "5", "due_on": due(), "required": "y"})
    teacher = a_person(sqlite_work, "instructor", organisation=salon)
    html = visit(teacher).post(f"/changes/{house}/top-up", {"length": "6", "due_on": due()})
    assert "an administrator settles that" in html and 'name="required"' not in html


def test_from_the_short_read_through_the_questions_to_the_desk(
    visit, sqlite_work, desk, noor, house
):
    boss = visit(desk)
    boss.post(f"/changes/{house}/top-up", {"length": "5", "due_on": due(), "required": "y"})
    here = visit(noor)
    assert "A fact you were assessed on has changed" in here.get("/practice")
    assert "5 questions by" in here.get("/needs")
    assert NEW in here.get("/top-ups")
    html = here.get(f"/top-ups/{house}")
    assert OLD in html and NEW in html and "I have read it: begin" in html
    asked = {"person": noor.id, "method": "tape_in", "service": "fit"}
    html = boss.get("/clearance", query_string=asked | {"on": due(5)})
    assert "is to be finished by" in html
    html = boss.get("/clearance", query_string=asked | {"on": due(11)})
    assert "it is not finished" in html and "until all are right" in html

    first = True
    for _ in range(6):
        reply = here.client.post(f"/top-ups/{house}")
        item_id = reply.headers["Location"].rsplit("/", 1)[1]
        html = here.get(f"/practice/item/{item_id}")
        assert "A fact behind this question has changed" in html and "It is now" not in html
        item = item_shown(sqlite_work, noor, item_id)
        html = here.post(f"/practice/item/{item_id}", sent_for(item, right=not first))
        assert "Next question of the top-up" in html or "The top-up is finished" in html
        first = False
    assert "The top-up is finished: all 5 right" in html
    assert here.client.post(f"/top-ups/{house}").headers["Location"] == f"/top-ups/{house}"
    assert "Finished" in here.get(f"/top-ups/{house}")
    assert "A fact you were assessed on" not in here.get("/practice")
    html = boss.get("/clearance", query_string=asked | {"on": due(11)})
    assert "it is not finished" not in html
    assert "1 finished the top-up" in boss.get(f"/changes/{house}")


def test_the_last_answer_may_be_given_in_another_room_too(visit, sqlite_work, desk, noor, house):
    """Wherever its page is answered from, it counts once."""
    visit(desk).post(f"/changes/{house}/top-up", {"length": "5", "due_on": due()})
    here = visit(noor)
    item_id = here.client.post(f"/top-ups/{house}").headers["Location"].rsplit("/", 1)[1]
    for _ in range(2):
        answer(sqlite_work, noor, item_id, True, clock.now())
    assert "1 of 5" in here.get(f"/top-ups/{house}")


def test_words_that_only_now_count_as_safety_say_so(
    visit, sqlite_work, bank, a_change, stylist, desk, noor
):
    before = older(bank, critical=False)
    change_id = a_change(sqlite_work, bank, clock.now(), before)
    visit(desk).post(f"/changes/{change_id}/top-up", {"length": "5", "due_on": due()})
    html = visit(noor).get(f"/top-ups/{change_id}")
    assert "It did not count as a safety fact" in html and OLD not in html


def test_people_come_a_page_at_a_time(visit, join, desk, house, monkeypatch, record_for):
    monkeypatch.setattr("trainer.use_cases.see_changes.HOLDERS", 1)
    record_for(join("Zoe Ward"))
    here = visit(desk)
    html = here.get(f"/changes/{house}")
    assert HOLDERS > 1 and "Noor Haddad" in html and "Zoe Ward" not in html
    assert "Next people" in html
    again = here.get(f"/changes/{house}?name=Noor+Haddad&id=zz")
    assert "Zoe Ward" in again and "Noor Haddad" not in again


def test_strangers_find_nothing(visit, sqlite_work, desk, noor, house):
    visit(desk).post(f"/changes/{house}/top-up", {"length": "5", "due_on": due()})
    other = a_person(sqlite_work, "instructor")
    html = visit(other).get(f"/changes/{house}")
    assert "Noor Haddad" not in html and "Offer a top-up" in html
    visit(other).get("/changes/nothing", 404)
    visit(other).post("/changes/nothing/top-up", {"length": "5", "due_on": due()}, 404)
    visit(other).get(f"/top-ups/{house}", 404)
    apprentice = a_person(sqlite_work)
    visit(apprentice).get("/changes", 403)
    visit(apprentice).get(f"/changes/{house}", 403)
    visit(apprentice).get(f"/top-ups/{house}", 404)
    visit(apprentice).post(f"/top-ups/{house}", code=404)
    assert "Nothing you were assessed on has changed" in visit(apprentice).get("/top-ups")


def test_the_same_person_is_asked_only_where_it_was_offered(visit, sqlite_work, desk, noor, house):
    visit(desk).post(f"/changes/{house}/top-up", {"length": "5", "due_on": due()})
    elsewhere = an_organisation(sqlite_work)
    with sqlite_work.writing() as unit:
        keep_people.join(unit, noor.id, elsewhere, ("apprentice",), clock.now())
    there = visit(a_person_there(noor, elsewhere))
    assert "Nothing you were assessed on has changed" in there.get("/top-ups")


def test_while_sitting_the_old_and_new_words_are_closed(visit, sqlite_work, desk, noor, house):
    visit(desk).post(f"/changes/{house}/top-up", {"length": "5", "due_on": due()})
    open_sitting(sqlite_work, noor)
    for address in ("/top-ups", f"/top-ups/{house}"):
        assert NEW not in visit(noor).get(address, 403)


def test_who_only_manages_here_but_holds_a_record_can_answer(
    visit, sqlite_work, salon, desk, house, record_for
):
    """Clearance holds back whoever holds a record, so whoever holds one can answer."""
    trained = a_person(sqlite_work, name="Ines Roe")
    record_for(trained)
    with sqlite_work.writing() as unit:
        keep_people.join(unit, trained.id, salon, ("instructor",), clock.now())
    head = a_person_there(trained, salon, "instructor")
    visit(desk).post(f"/changes/{house}/top-up", {"length": "5", "due_on": due(), "required": "y"})
    here = visit(head)
    assert "A fact you were assessed on has changed: 5 questions by" in here.get("/needs")
    assert "Read and answer" in here.get("/top-ups")
    for _ in range(5):
        reply = here.client.post(f"/top-ups/{house}")
        address = reply.headers["Location"]
        html = here.get(address)
        assert f'href="/top-ups/{house}"' in html and 'href="/practice' not in html
        item = item_shown(sqlite_work, head, address.rsplit("/", 1)[1])
        html = here.post(address, sent_for(item, right=True))
        assert 'href="/practice' not in html
    assert "The top-up is finished" in html
    assert 'href="/practice' not in here.get(f"/top-ups/{house}")
    here.get("/practice", 403)
    here.post("/practice/tape_in/timings", code=403)
    asked = {"person": head.id, "method": "tape_in", "service": "fit", "on": due(11)}
    html = visit(desk).get("/clearance", query_string=asked)
    assert "until all are right" not in html


def test_an_answer_opened_again_leads_on_to_the_next_question(
    visit, sqlite_work, desk, noor, house
):
    visit(desk).post(f"/changes/{house}/top-up", {"length": "5", "due_on": due()})
    here = visit(noor)
    address = here.client.post(f"/top-ups/{house}").headers["Location"]
    sent = sent_for(item_shown(sqlite_work, noor, address.rsplit("/", 1)[1]), right=True)
    for html in (here.post(address, sent), here.post(address, sent), here.get(address)):
        assert "Next question of the top-up" in html and "1 of 5" in html
