"""Screens of records: mine, the public check, the issuer's page, and decisions."""

import json
from io import BytesIO

import pytest
from click.testing import CliRunner

from tests.support.page import words
from tests.support.people import PASSWORD, a_person, an_organisation
from tests.use_cases.test_evidence import an_observation
from trainer.cli.verify import command
from trainer.web.words import address_of

WHY = "A complaint is being looked into."


@pytest.fixture
def place(sqlite_work):
    return an_organisation(sqlite_work, "Quayside Academy")


@pytest.fixture
def holder(sqlite_work, place):
    return a_person(sqlite_work, organisation=place, name="Ines Dorval")


@pytest.fixture
def boss(sqlite_work, place):
    return a_person(sqlite_work, "instructor", organisation=place)


@pytest.fixture
def record_id(record_for, holder):
    return record_for(holder)


def test_nothing_yet_says_how_a_record_comes(visit, holder):
    assert "No record yet" in visit(holder).get("/records")


def test_mine_shows_my_record_and_its_link(visit, holder, record_id):
    page = visit(holder).get("/records")
    assert f"http://localhost/check/{record_id}" in page
    assert "Tape-in" in page


def test_a_link_to_hand_on_is_never_remembered_for_another_host(app):
    """Most addresses are remembered; one with its host belongs to its own request."""
    for host in ("one.example", "two.example"):
        with app.test_request_context(base_url=f"https://{host}/"):
            told = address_of("records.check", record_id="a" * 32, _external=True)
        assert told.startswith(f"https://{host}/check/")


def test_anyone_may_check_and_sees_a_plain_answer_first(visit, record_id):
    page = visit().get(f"/check/{record_id}")
    for said in ("Valid", "Ines Dorval", "Tape-in", "Quayside Academy", "9c41f2", "trainer verify"):
        assert said in page
    assert page.index("Valid") < page.index("What it says")
    assert "Consultation and patch test" in page or "consultation and patch test" in page


def test_an_unknown_record_is_not_there(visit):
    visit().get("/check/" + "0" * 32, 404)
    visit().get("/records/nothing.json", 404)
    visit().get("/issuers/nobody/key.json", 404)


def test_what_the_pages_give_is_enough_to_check_offline(client, tmp_path, place, record_id):
    files = {
        "record.json": f"/records/{record_id}.json",
        "key.json": f"/issuers/{place}/key.json",
        "status.json": f"/issuers/{place}/status",
    }
    for name, address in files.items():
        answer = client.get(address)
        assert answer.status_code == 200
        (tmp_path / name).write_bytes(answer.data)
    words = [str(tmp_path / "record.json"), "--issuer-key", str(tmp_path / "key.json")]
    found = CliRunner().invoke(command, [*words, "--status-list", str(tmp_path / "status.json")])
    assert (found.exit_code, json.loads(found.stdout)["valid"]) == (0, True)


def test_a_list_may_be_cached_and_sets_no_cookie(client, place, record_id):
    answer = client.get(f"/issuers/{place}/status")
    assert answer.headers["Cache-Control"] == "public, max-age=300"
    assert "Set-Cookie" not in answer.headers


def test_the_issuers_page_gives_its_key(visit, place):
    assert "did:key:z6Mk" in visit().get(f"/issuers/{place}")


def test_every_key_is_at_the_well_known_address(client, visit, place, record_id):
    for file, at_home in (
        (f"/issuers/{place}/did.json", "did:web:localhost:issuers:" + place),
        ("/.well-known/did.json", "did:web:localhost"),
    ):
        answer = client.get(file)
        assert answer.mimetype == "application/did+json"
        assert answer.json["id"] == at_home
        assert set(answer.json["assertionMethod"]) <= {
            one["id"] for one in answer.json["verificationMethod"]
        }
    named = client.get(f"/records/{record_id}/key.json").json["id"]
    record = json.loads(client.get(f"/records/{record_id}.json").data)
    assert named == record["proof"]["verificationMethod"]
    assert "did.json" in visit().get(f"/check/{record_id}")


def test_a_file_is_checked(visit, client, record_id):
    text = client.get(f"/records/{record_id}.json").data
    page = visit().post("/check", {"record_file": (BytesIO(text), "record.json")})
    assert "Not valid" not in page
    changed = text.replace(b"tape_in", b"wig_piece")
    assert "Not valid" in visit().post("/check", {"record_text": changed.decode()})


@pytest.mark.parametrize("sent", [{}, {"record_text": "hello"}, {"record_text": '{"id": "x"}'}])
def test_what_is_no_record_is_said_to_be_so(visit, sent):
    assert 'role="alert"' in visit().post("/check", sent, 400)


def test_a_decision_shows_at_once(visit, boss, holder, record_id):
    page = visit(boss).get("/records/issued")
    assert "Ines Dorval" in page
    address = f"/records/{record_id}/state"
    assert "Suspend" in visit(boss).get(address)
    sent = {"decision": "suspended", "reason": WHY, "password": PASSWORD}
    assert "The decision is recorded" in visit(boss).post(address, sent)
    public = visit().get(f"/check/{record_id}")
    assert "Suspended" in public and WHY not in public
    assert WHY in visit(holder).get("/records")
    lifted = {"decision": "reinstated", "reason": "It was not upheld.", "password": PASSWORD}
    visit(boss).post(address, lifted)
    assert "in force" in visit(boss).get("/records/issued")


def test_who_watched_the_work_is_told_why_they_may_not_lift_a_suspension(
    visit, sqlite_work, boss, holder, record_id
):
    address = f"/records/{record_id}/state"
    visit(boss).post(address, {"decision": "suspended", "reason": WHY, "password": PASSWORD})
    with sqlite_work.writing() as unit:
        unit.session.add(an_observation(holder, boss, "fit"))
    lifted = {"decision": "reinstated", "reason": "It was not upheld.", "password": PASSWORD}
    assert "somebody who did neither must decide" in visit(boss).post(address, lifted, code=403)
    assert "Suspended" in visit().get(f"/check/{record_id}")


def test_a_decision_without_the_password_is_not_taken(visit, boss, record_id):
    address = f"/records/{record_id}/state"
    for password in ("", "not it"):
        sent = {"decision": "suspended", "reason": WHY, "password": password}
        page = visit(boss).post(address, sent, 400)
        assert "Your password:" in page and WHY in page
    assert "Suspended" not in visit().get(f"/check/{record_id}")


def test_a_decision_without_a_reason_is_not_taken(visit, boss, record_id):
    page = visit(boss).post(f"/records/{record_id}/state", {"decision": "suspended"}, 400)
    assert 'role="alert"' in page
    assert "Suspended" not in visit().get(f"/check/{record_id}")


def test_a_decision_that_is_not_offered_is_not_taken(visit, boss, record_id):
    sent = {"decision": "reinstated", "reason": WHY, "password": PASSWORD}
    assert 'role="alert"' in visit(boss).post(f"/records/{record_id}/state", sent, 400)


def test_another_academys_record_is_not_there(visit, sqlite_work, record_id):
    stranger = a_person(sqlite_work, "administrator")
    visit(stranger).get(f"/records/{record_id}/state", 404)
    sent = {"decision": "withdrawn", "reason": "It should not be ours to say."}
    visit(stranger).post(f"/records/{record_id}/state", sent, 404)
    assert "Ines" not in words(visit(stranger).get("/records/issued"))
    visit(stranger).get(f"/records/issued?after={record_id}", 400)


def test_apprentices_do_not_decide(visit, holder, record_id):
    visit(holder).get("/records/issued", 403)
    visit(holder).get(f"/records/{record_id}/state", 403)
