"""People on screen: invite, change, help with a password; strangers see nothing."""

import re
from datetime import timedelta

import pytest

from tests.conftest import Visit
from tests.support.people import NOW, PASSWORD, a_person, an_organisation
from trainer import clock
from trainer.store import offers, people
from trainer.use_cases import keep_people, offer_membership, sign_in


def test_an_administrator_asks_and_the_link_makes_an_account_and_a_member(visit, sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    here = visit(boss)
    wrong = here.post("/people/invite", {"name": "", "email": "nobody"}, code=400)
    assert "Write the name." in wrong and "Write it in full" in wrong
    assert "Write the name." in here.post("/people/invite", {"name": "   "}, code=400)
    sent = {"name": "Nell Ashby", "email": "nell@example.org", "roles": ["apprentice"]}
    page = here.post("/people/invite", sent)
    path = re.search(r"http://localhost(/join/[\w-]+)", page).group(1)
    listed = here.get("/people")
    assert "Asked, not answered yet" in listed and "nell@example.org" in listed
    assert "Nell Ashby" not in listed
    stranger = visit()
    assert "asks you to join" in stranger.get(path)
    assert "at least 15" in stranger.post(path, {"password": "too short"}, code=400)
    stranger.post(path, {"password": PASSWORD})
    signed_in = stranger.post("/sign-in", {"email": "nell@example.org", "password": PASSWORD})
    assert "Nell Ashby" in signed_in
    assert "was used" in stranger.get(path, code=400)
    over = visit().get(path, code=400)
    assert "If you have said yes already, sign in" in over
    assert "This link is over" in visit().post(f"{path}/no", code=400)
    listed = here.get("/people")
    assert "Asked, not answered yet" not in listed and "Nell Ashby" in listed


def test_roles_and_groups_change(visit, sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    someone = a_person(sqlite_work, organisation=boss.organisation, name="Rhona Teal")
    here = visit(boss)
    here.post("/people/groups", {"name": "Friday group"})
    page = here.get(f"/people/{someone.id}")
    group = re.search(r'name="groups" value="(\w+)"', page).group(1)
    here.post(f"/people/{someone.id}", {"roles": ["instructor"], "groups": [group]})
    with sqlite_work.reading(boss.viewer) as unit:
        assert people.member(unit, someone.id)[1].roles == ["instructor"]
        assert list(people.groups_of(unit, someone.id)) == [group]


def test_instructors_invite_apprentices_only(visit, sqlite_work):
    teacher = a_person(sqlite_work, "instructor")
    sent = {"name": "Nell Ashby", "email": "nell@example.org", "roles": ["administrator"]}
    page = visit(teacher).post("/people/invite", sent)
    assert "/join/" in page
    with sqlite_work.reading(teacher.viewer) as unit:
        (asked,) = offer_membership.list_offers(unit, clock.now())
    assert asked.roles == ("apprentice",)


def test_another_house_is_not_there(visit, sqlite_work):
    boss, stranger = a_person(sqlite_work, "administrator"), a_person(sqlite_work)
    here = visit(boss)
    assert stranger.email not in here.get("/people")
    here.get(f"/people/{stranger.id}", code=404)
    here.post(f"/people/{stranger.id}/link", code=404)
    here.post(f"/people/{stranger.id}/leave", code=404)


def test_apprentices_see_no_list(visit, sqlite_work):
    visit(a_person(sqlite_work)).get("/people", code=403)


def test_who_left_sees_nothing_more(visit, sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    someone = a_person(sqlite_work, organisation=boss.organisation)
    visit(boss).post(f"/people/{someone.id}/leave")
    page = visit(someone).get("/me")
    assert "do not belong" in page


def test_nobody_is_sent_elsewhere_after_signing_in(app, sqlite_work):
    someone = a_person(sqlite_work)
    sent = {"email": someone.email, "password": PASSWORD}
    elsewhere = (
        "https://x.example",
        "//x.example",
        "///x.example",
        "/\\x.example",
        "/%09/x.example",
    )
    for bad in elsewhere:
        answer = app.test_client().post(f"/sign-in?next={bad}", data=sent)
        assert answer.location == "/", bad
    answer = app.test_client().post("/sign-in?next=/me", data=sent)
    assert answer.location == "/me"


@pytest.mark.parametrize(("proxies", "code"), [(0, 429), (1, 302)])
def test_behind_a_proxy_tries_are_counted_for_whoever_made_them(
    app_with, sqlite_work, monkeypatch, proxies, code
):
    """Without the setting a header that anybody can write counts for nothing."""
    monkeypatch.setattr(sign_in, "MOST_FOR_PLACE", 2)
    someone = a_person(sqlite_work)
    made = app_with(proxies=proxies)

    def tried(place, email, password):
        sent = {"email": email, "password": password}
        said = {"X-Forwarded-For": f"198.51.100.99, {place}"}
        return made.test_client().post("/sign-in", data=sent, headers=said).status_code

    for number in range(2):
        assert tried("203.0.113.7", f"guess-{number}@example.org", "wrong") == 400
    assert tried("203.0.113.8", someone.email, PASSWORD) == code
    assert tried("203.0.113.7", someone.email, PASSWORD) == 429


def test_a_letter_never_leads_where_the_asking_request_says(app_with, sqlite_work, letterbox):
    """A made-up Host would send the link, and so the account, to whoever asked."""
    someone = a_person(sqlite_work)
    made = app_with(smtp_url=letterbox.url)
    evil = {"Host": "elsewhere.example"}
    answer = made.test_client().post("/forgotten", data={"email": someone.email}, headers=evil)
    assert "Ask an administrator" in answer.get_data(as_text=True)
    assert letterbox.letters == []


def test_links_to_hand_over_go_by_the_address_that_is_set(app_with, sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    made = app_with(base_url="https://trainer.example")
    sent = {"name": "Nell Ashby", "email": "nell@example.org", "roles": ["apprentice"]}
    assert "https://trainer.example/join/" in Visit(made.test_client(), boss).post(
        "/people/invite", sent
    )


def test_headers_and_cookie_are_strict(app, sqlite_work):
    someone = a_person(sqlite_work)
    answer = app.test_client().post("/sign-in", data={"email": someone.email, "password": PASSWORD})
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert "unsafe" not in answer.headers["Content-Security-Policy"]
    assert answer.headers["Cache-Control"] == "no-store"
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie and "SameSite=Lax" in cookie


def test_a_form_without_its_token_changes_nothing(app, sqlite_work):
    app.config["WTF_CSRF_ENABLED"] = True
    boss = a_person(sqlite_work, "administrator")
    client = app.test_client()
    with client.session_transaction() as kept:
        kept["_user_id"] = f"{boss.id}:0"
    answer = client.post("/people/groups", data={"name": "Friday group"})
    assert answer.status_code == 400
    assert "open too long" in answer.get_data(as_text=True)


def test_a_salon_has_no_way_to_what_only_an_academy_does(visit, sqlite_work):
    for kind, there in (("academy", True), ("salon", False), ("both", True)):
        place = an_organisation(sqlite_work, kind=kind)
        page = visit(a_person(sqlite_work, "administrator", organisation=place)).get("/me")
        assert ('href="/standards"' in page, 'href="/records/issued"' in page) == (there, there)


def test_a_name_holds_no_sign_that_nobody_sees(visit, sqlite_work):
    """A sign that turns letters round (Unicode Annex 9) could show one name for another."""
    boss = a_person(sqlite_work, "administrator")
    here, sent = visit(boss), {"email": "nell@example.org", "roles": ["apprentice"]}
    here.post("/people/invite", {"name": " Zoe\u0308  \u202eO\u2019Brien\0\u2069 ", **sent})
    with sqlite_work.reading(boss.viewer) as unit:
        (offer,) = offers.of_house(unit)
        assert offer.name == "Zo\u00eb O\u2019Brien"


def test_the_same_group_twice_is_told_where_groups_are_made(visit, sqlite_work):
    here = visit(a_person(sqlite_work, "administrator"))
    assert "Group Friday is there" in here.post("/people/groups", {"name": "Friday"})
    again = here.post("/people/groups", {"name": "Friday"})
    assert "There is a group called Friday already" in again and "<h2>Groups</h2>" in again


def test_whose_account_was_there_before_gets_no_link_and_no_new_name_here(visit, sqlite_work):
    stranger, boss = a_person(sqlite_work, "instructor"), a_person(sqlite_work, "administrator")
    with sqlite_work.writing() as unit:
        later = NOW + timedelta(days=1)
        keep_people.join(unit, stranger.id, boss.organisation, ["apprentice"], later)
    here = visit(boss)
    told = here.post(f"/people/{stranger.id}/link")
    assert "This link is not yours to hand out" in told and "/set-password/" not in told
    renamed = here.post(f"/people/{stranger.id}/name", {"name": "Somebody Else"})
    assert "The name is kept where they belonged before they came here. Ask there" in renamed


def test_a_member_is_not_asked_and_nobody_is_asked_twice(visit, sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    member, here = a_person(sqlite_work, organisation=boss.organisation), visit(boss)
    sent = {"name": "Nell Ashby", "email": member.email, "roles": ["apprentice"]}
    assert "Belongs here already" in here.post("/people/invite", sent, code=400)
    sent["email"] = "nell@example.org"
    here.post("/people/invite", sent)
    with sqlite_work.writing(boss.viewer) as unit:
        offers.of_house(unit)[0].asked_at -= offer_membership.TWICE
    assert "Is asked already" in here.post("/people/invite", sent, code=400)
    page = here.get("/people")
    path = re.search(r'action="(/people/asked/\w+/withdraw)"', page).group(1)
    foreign = visit(a_person(sqlite_work, "administrator")).post(path)
    assert "answered or withdrawn already" in foreign and "nell" not in foreign
    assert "nell@example.org is no longer asked" in here.post(path)
    assert "answered or withdrawn already" in here.post(path)
    here.post("/people/invite", sent)
