"""The service for other programs: codes, purposes, limits, refusals, answers."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from tests.support.elsewhere import OtherAcademy, kept_here
from tests.support.people import a_person
from tests.support.programs import Program, a_code
from trainer import clock
from trainer.use_cases import accept_issuer, check_status, keep_access, keep_diary

NOBODY = "0" * 32


@pytest.fixture
def stylist(join):
    return join("Noor Haddad")


@pytest.fixture
def record(record_for, stylist):
    return record_for(stylist)


@pytest.fixture
def program(client, sqlite_work, desk):
    """program(purpose) asks with a code for that purpose."""
    return lambda purpose, whose=desk: Program(client, a_code(sqlite_work, whose, purpose))


def question(someone, **other):
    asked = {"person": someone.id, "method": "tape_in", "service": "fit"}
    return asked | {"on": clock.today().isoformat()} | other


def test_the_answer_is_the_desk_s_in_its_words(program, record, stylist):
    said = program("clearance").get("/clearance", **question(stylist))
    assert (said["answer"], said["words"], said["name"]) == ("cleared", "Cleared", "Noor Haddad")
    assert [one["ground"] for one in said["reasons"]] == ["record_in_force"]
    assert "holds a completion record" in said["reasons"][0]["said"]
    assert "speaks of the stylist, not of this client" in said["reminder"]
    asked = [question(stylist, method="fusion_bond"), question(stylist)]
    many = program("clearance").post("/clearances", {"questions": asked})
    assert [one["answer"] for one in many["answers"]] == ["not_cleared", "cleared"]
    assert many["answers"][1] == said


def test_today_is_the_day_of_the_house(program, sqlite_work, desk, monkeypatch):
    """By the zone database: Kiritimati is 14 hours ahead of UTC, Etc/GMT+12 is 12 behind it."""
    now = datetime(2026, 11, 27, 11, tzinfo=UTC)
    monkeypatch.setattr(clock, "now", lambda: now)
    asking = program("team")
    for zone, on in (
        ("Pacific/Kiritimati", "2026-11-28"),
        ("Etc/GMT+12", "2026-11-26"),
        ("", "2026-11-27"),
    ):
        with sqlite_work.writing(desk.viewer) as unit:
            keep_diary.keep(unit, "", zone, now)
        assert asking.get("/team")["on"] == on


def test_a_removal_that_cannot_wait_is_asked_by_itself(program, stylist):
    asked = {"person": stylist.id, "method": "tape_in", "on": clock.today().isoformat()}
    said = program("clearance").get("/urgent-removal", **asked)
    assert said["urgent"] and said["service"] == "remove"
    sent = {"questions": [question(stylist, service="remove", urgent=True)]}
    assert program("clearance").post("/clearances", sent)["answers"] == [said]
    wrong = json.dumps({"questions": [question(stylist, urgent=True)]})
    (fault,) = program("clearance").refused("/clearances", 422, body=wrong)["errors"]
    assert fault["pointer"] == "/questions/0/service"


def test_people_and_team_come_page_by_page(program, sqlite_work, salon, stylist, record):
    for number in range(4):
        a_person(sqlite_work, organisation=salon, name=f"Trainee {number}")
    names, after = [], {}
    while after is not None:
        page = program("clearance").get("/people", count=2, **after)
        names += [one["name"] for one in page["people"]]
        after = {"after": page["next"]} if page["next"] else None
    assert sorted(names) == ["Noor Haddad", *(f"Trainee {n}" for n in range(4))]
    team = program("team").get("/team")
    assert len(team["team"]) == 5 and team["next"] is None
    (noor,) = [one for one in team["team"] if one["name"] == "Noor Haddad"]
    stand = {(one["method"], one["service"]): one for one in noor["standings"]}
    assert stand["tape_in", "fit"]["standing"] == "competent"
    assert stand["tape_in", "fit"]["record"] == record
    assert stand["wig_piece", "fit"]["standing"] == "not_started"
    assert program("team").get(f"/team/{stylist.id}") == noor


def test_a_record_and_its_signed_file(program, client, record, stylist):
    asking = program("records")
    (listed,) = asking.get("/records")["records"]
    assert listed == asking.get(f"/records/{record}")
    assert (listed["id"], listed["person"], listed["state"]) == (record, stylist.id, "in_force")
    answer = asking.ask(f"/records/{record}/document")
    public = client.get(f"/records/{record}.json")
    assert answer.data == public.data and answer.mimetype == "application/vc+ld+json"
    again = asking.ask(
        f"/records/{record}/document", headers={"If-None-Match": answer.headers["ETag"]}
    )
    assert (again.status_code, again.data) == (304, b"")


def test_a_record_from_elsewhere_is_among_them_and_told_apart(
    program, sqlite_work, bank, desk, stylist, record
):
    other = OtherAcademy()
    kept = kept_here(sqlite_work, bank, desk, stylist, other, clock.now())
    asking = program("records")
    found = {one["id"]: one for one in asking.get("/records")["records"]}
    assert found.keys() == {record, kept} and found[record]["elsewhere"] is None
    said = found[kept]
    assert said == asking.get(f"/records/{kept}")
    assert (said["issuer"], said["state"], said["page"]) == (
        "Other Academy, Northside",
        "in_force",
        None,
    )
    until = clock.today() + timedelta(days=14)
    assert said["elsewhere"] | {"checked_at": ""} == {
        "accepted": True,
        "counts_for": ["fit", "remove"],
        "status": "unmarked",
        "checked_at": "",
        "enough_until": until.isoformat(),
    }
    one_by_one = [asking.get("/records", count=1)["records"][0]["id"]]
    one_by_one += [asking.get("/records", count=1, after=one_by_one[0])["records"][0]["id"]]
    assert one_by_one == sorted([record, kept])
    signed = json.loads(asking.ask(f"/records/{kept}/document").data)
    assert signed["proof"]["proofValue"] and other.did in json.dumps(signed)
    for path in (f"/records/{kept}", f"/records/{kept}/document"):
        program("records", a_person(sqlite_work, "administrator")).refused(path, 404)
    with sqlite_work.writing(desk.viewer) as unit:
        (accepted,) = accept_issuer.listed(unit)
        accept_issuer.end(unit, accepted.id, clock.now())
    said = asking.get(f"/records/{kept}")
    assert (said["state"], said["issuer"]) == ("not_counted", other.did)
    assert not said["elsewhere"]["accepted"] and said["elsewhere"]["counts_for"] == []


def test_a_record_from_elsewhere_that_does_not_count_is_never_in_force(
    program, sqlite_work, bank, desk, stylist
):
    other = OtherAcademy()
    kept = kept_here(sqlite_work, bank, desk, stylist, other, clock.now() - timedelta(days=20))

    def now_says():
        said = program("records").get(f"/records/{kept}")
        about = said["elsewhere"]
        return said["state"], about["accepted"], about["counts_for"], about["status"]

    assert now_says() == ("unchecked", True, ["fit", "remove"], "unmarked")
    before = program("changes").get("/changes")["next"]
    other.marked.add(7)
    with sqlite_work.writing(desk.viewer) as unit:
        lists = [other.status_list(clock.now())]
        check_status.check(unit, kept, lists, clock.now(), 14)
    assert now_says() == ("marked", True, ["fit", "remove"], "marked")
    (told,) = program("changes").get("/changes", after=before)["changes"]
    assert (told["kind"], told["record"]) == ("record.from_elsewhere_changed", kept)


def test_another_organisation_s_code_sees_nothing_of_ours(program, sqlite_work, stylist, record):
    stranger = a_person(sqlite_work, "administrator")
    program("clearance", stranger).refused("/clearance", 404, **question(stylist))
    program("team", stranger).refused(f"/team/{stylist.id}", 404)
    for path in (f"/records/{record}", f"/records/{record}/document"):
        program("records", stranger).refused(path, 404)
    assert program("records", stranger).get("/records")["records"] == []
    assert program("clearance", stranger).get("/people")["people"] == []
    kinds = {one["kind"] for one in program("changes", stranger).get("/changes")["changes"]}
    assert kinds == {"member.changed"}


def test_a_code_opens_its_purpose_alone(program, stylist, app):
    every = {"/people": "team clearance", "/team": "team", "/records": "records"}
    every |= {"/changes": "changes", "/clearance": "clearance"}
    for purpose in keep_access.PURPOSES:
        for path, opens in every.items():
            if purpose not in opens.split():
                said = program(purpose).refused(path, 403)
                assert f"This code is for '{purpose}'" in said["detail"]


def test_without_an_open_code_nothing_is_told_and_no_cookie_helps(visit, desk, sqlite_work):
    signed_in = visit(desk).client
    for code in ("", "trainer_wrong", "\xe9"):
        said = Program(signed_in, code).refused("/people", 401)
        assert said["code"] == "no-access-code"
    answer = signed_in.get("/api/v1/people")
    assert answer.status_code == 401 and answer.headers["WWW-Authenticate"].startswith("Bearer")
    code = a_code(sqlite_work, desk, "team")
    Program(signed_in, code).get("/people")
    with sqlite_work.writing(desk.viewer) as unit:
        (one,) = keep_access.listed(unit)
        keep_access.end(unit, one.id, clock.now())
    Program(signed_in, code).refused("/people", 401)


def test_no_answer_is_kept_and_none_sets_a_cookie(program, stylist):
    answer = program("team").ask("/people")
    assert answer.headers["Cache-Control"] == "no-store"
    assert "Set-Cookie" not in answer.headers


def test_every_fault_of_a_question_is_named(program, stylist):
    asking = program("clearance")
    for wrong, place, words in (
        ({"on": "2026-02-30"}, "on", "no such day"),
        ({"method": "glue_gun"}, "method", "not one of"),
        ({"service": None}, "service", "missing"),
        ({"person": "Noor"}, "person", "not written"),
        ({"extra": "1"}, "extra", "not asked for"),
    ):
        asked = {name: value for name, value in question(stylist, **wrong).items() if value}
        (fault,) = asking.refused("/clearance", 422, **asked)["errors"]
        assert fault["parameter"] == place and words in fault["detail"]
        body = json.dumps({"questions": [question(stylist), asked]})
        (fault,) = asking.refused("/clearances", 422, body=body)["errors"]
        assert fault["pointer"] in (f"/questions/1/{place}", "/questions/1/extra")


def test_each_refusal_is_a_problem_report(program):
    for status, sent in (
        (400, {"body": "{"}),
        (400, {"body": '{"questions": [], "questions": []}'}),
        (415, {"body": "questions", "kind": "text/plain"}),
        (413, {"body": '{"a": "' + "x" * 200_000 + '"}'}),
        (406, {"body": "{}", "headers": {"Accept": "text/html"}}),
        (405, {"verb": "delete"}),
        (422, {"body": "[]"}),
    ):
        program("clearance").refused("/clearances", status, **sent)


def test_an_address_that_is_not_there_is_a_problem_report(program):
    assert program("team").refused("/nothing", 404)["code"] == "nothing-here"
    program("team").refused("/team/NOBODY", 404)
    program("team").refused(f"/team/{NOBODY}", 404)


def test_our_own_mistake_is_a_problem_report_without_its_cause(program, app, monkeypatch):
    app.config["TESTING"] = False
    monkeypatch.setattr("trainer.web.api.answers.list_team.page", lambda *_: 1 / 0)
    said = program("team").refused("/team", 500)
    assert "division" not in json.dumps(said)


def test_too_many_calls_are_refused_until_the_minute_is_over(program, app, monkeypatch):
    house = app.extensions["trainer"]
    app.extensions["trainer"] = replace(house, settings=replace(house.settings, api_calls=3))
    now = clock.now().replace(second=20)
    monkeypatch.setattr(clock, "now", lambda: now)
    asking, other = program("team"), program("team")
    for _ in range(3):
        asking.get("/people")
    answer = asking.ask("/people")
    assert (answer.status_code, answer.headers["Retry-After"]) == (429, "40")
    other.get("/people")
    now += timedelta(minutes=1)
    asking.get("/people")
