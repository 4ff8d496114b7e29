"""Sign-off on screen: choose, tick, sign."""

import re

import pytest

from tests.support.people import PASSWORD, a_person
from tests.support.practised import a_sitting
from trainer import clock
from trainer.store import observations


@pytest.fixture
def boss(sqlite_work):
    return a_person(sqlite_work, "instructor", name="Petra Lindqvist")


@pytest.fixture
def learner(sqlite_work, boss):
    return a_person(sqlite_work, organisation=boss.organisation, name="Ama Owusu")


@pytest.fixture
def mate(sqlite_work, boss):
    return a_person(sqlite_work, "instructor", organisation=boss.organisation, name="Kofi Aldersey")


NEXT = "Leave the hairline free, then show it again."


def ticked(bank, service="fit", **more):
    return {
        "met": [one.id for one in bank.criteria_of("tape_in", service)],
        "notes": "Steady hands.",
        "on": clock.today().isoformat(),
        "password": PASSWORD,
        "submission_id": f"one-{service}",
    } | more


def the_sheet(learner, service="fit"):
    return f"/observations/{learner.id}/tape_in/{service}"


def signed(work, boss):
    with work.reading(boss.viewer) as unit:
        return [row.id for row in observations.latest(unit, 10)]


def test_whom_and_what_lead_to_the_sheet(visit, bank, boss, learner):
    page = visit(boss)
    assert "Whom will you watch" in page.get("/observations")
    html = page.get(f"/observations?person={learner.id}&method=tape_in&service=fit")
    for one in bank.criteria_of("tape_in", "fit"):
        assert f'value="{one.id}"' in html
    assert "Safety: every one must be met" in html
    page.get(f"/observations?person={learner.id}&method=tape_in&service=wash", 400)


def test_a_signed_sheet_is_kept_once_and_read_by_both(visit, sqlite_work, bank, boss, learner):
    page = visit(boss)
    html = page.post(the_sheet(learner), ticked(bank))
    assert "Signed off" in html and "Steady hands." in html and "Petra Lindqvist" in html
    page.post(the_sheet(learner), ticked(bank))
    (one,) = signed(sqlite_work, boss)
    assert "Signed off" in visit(learner).get(f"/observations/{one}")
    assert "Ama Owusu, Tape-in, fit" in page.get("/observations")
    assert f"/observations/{one}" in visit(learner).get("/observations/mine")
    fellow = a_person(sqlite_work, organisation=boss.organisation)
    assert "Nothing watched yet" in visit(fellow).get("/observations/mine")


def test_what_was_not_seen_is_named(visit, bank, boss, learner):
    critical = next(one for one in bank.criteria_of("tape_in", "fit") if one.critical)
    rest = [one.id for one in bank.criteria_of("tape_in", "fit") if one != critical]
    html = visit(boss).post(the_sheet(learner), ticked(bank, met=rest, next_step=NEXT))
    assert "Not yet competent" in html and "The latest work counts" in html and NEXT in html
    assert critical.text in html[html.index("Not seen") :]


@pytest.mark.parametrize(
    ("change", "label"),
    [
        ({"password": "wrong one"}, "Your password"),
        ({"password": ""}, "Your password"),
        ({"on": "2099-01-01"}, "Watched on"),
        ({"on": ""}, "Watched on"),
        ({"notes": "x" * 2001}, "Notes"),
        ({"met": ["not.here"]}, "Criteria"),
        ({"met": []}, "What to do next"),
    ],
)
def test_a_wrong_form_keeps_the_ticks_and_signs_nothing(
    visit, sqlite_work, bank, boss, learner, change, label
):
    html = visit(boss).post(the_sheet(learner), ticked(bank) | change, code=400)
    alert = re.search(r'role="alert".*?</div>', html, re.S).group()
    assert f"{label}:" in alert
    assert PASSWORD not in html
    if "met" not in change:
        assert html.count('name="met"') == html.count(" checked")
        assert html.count(" checked") == len(bank.criteria_of("tape_in", "fit"))
    assert signed(sqlite_work, boss) == []


def test_the_last_service_issues_the_record(visit, sqlite_work, bank, boss, learner):
    with sqlite_work.writing() as unit:
        unit.session.add(a_sitting(learner, "tape_in", True, clock.now()))
    page = visit(boss)
    for service in ("fit", "maintain"):
        assert "completion record is issued" not in page.post(
            the_sheet(learner, service), ticked(bank, service)
        )
    html = page.post(the_sheet(learner, "remove"), ticked(bank, "remove"))
    assert "completion record is issued" in html


def test_nobody_signs_their_own_work(visit, sqlite_work, boss):
    both = a_person(sqlite_work, "instructor", "apprentice", organisation=boss.organisation)
    assert "cannot sign off your own work" in visit(both).get(the_sheet(both), 403)


def test_another_house_and_apprentices_find_nothing(visit, sqlite_work, bank, boss, learner):
    visit(boss).post(the_sheet(learner), ticked(bank))
    (one,) = signed(sqlite_work, boss)
    stranger = a_person(sqlite_work, "instructor")
    visit(stranger).get(the_sheet(learner), 404)
    visit(stranger).post(the_sheet(learner), ticked(bank), code=404)
    visit(stranger).get(f"/observations/{one}", 404)
    visit(learner).get("/observations", 403)
    visit(learner).get(the_sheet(learner), 403)
    fellow = a_person(sqlite_work, organisation=boss.organisation)
    visit(fellow).get(f"/observations/{one}", 403)


def test_an_appeal_has_the_work_watched_again_by_somebody_else(visit, bank, boss, learner, mate):
    sent = ticked(bank, met=[], next_step=NEXT)
    visit(boss).post(the_sheet(learner), sent)
    apprentice, decider = visit(learner), visit(mate)
    html = apprentice.get(
        re.search(r"/observations/\w{32}", apprentice.get("/observations/mine"))[0]
    )
    assert "/appeals/new?about=sign_off&amp;method=tape_in" in html
    words = {"words": "The alarm went off, and nobody let me put the tapes right again."}
    asked = {"submission_id": "appeal", "about": "sign_off", "method": "tape_in"}
    apprentice.post("/appeals/new", asked | words)
    address = re.search(r"/appeals/\w{32}", decider.get("/appeals"))[0]
    html = decider.get(address)
    wanted = re.search(r"watch_again:\w{32}", html)[0]
    assert "another instructor watches it again" in html and "Look at the sheet" in html
    decider.post(address, {"upheld": "yes", "remedy": wanted} | words)
    assert "To be watched again" in decider.get("/observations")
    for page in ("/needs", "/cohort"):
        assert "1 service is to be watched again" in decider.get(page)
    assert "for another instructor" in visit(boss).get("/observations")
    assert "set aside after an appeal" in visit(boss).get(the_sheet(learner), 403)
    assert "set aside" in apprentice.get("/observations/mine")


def test_a_signed_sheet_stands_under_for_you_until_it_is_read(visit, bank, boss, learner):
    visit(boss).post(the_sheet(learner), ticked(bank))
    apprentice, was = visit(learner), "was signed: competent (tape-in, fit)"
    assert was in apprentice.get("/needs") and was in apprentice.get("/needs")
    sheet = re.search(r"/observations/\w{32}", visit(boss).get("/observations"))[0]
    visit(boss).get(sheet)
    assert was in apprentice.get("/needs")
    apprentice.get(sheet)
    assert was not in apprentice.get("/needs")
    visit(boss).post(the_sheet(learner), ticked(bank, submission_id="another"))
    assert was in apprentice.get("/needs")
    apprentice.get("/observations/mine")
    assert was not in apprentice.get("/needs")


def test_a_sheet_that_said_competent_is_set_aside_on_the_same_screen(
    visit, bank, boss, learner, mate
):
    visit(boss).post(the_sheet(learner), ticked(bank))
    words = {"words": "Nobody was there: I was told afterwards that it was signed."}
    apprentice, decider = visit(learner), visit(mate)
    asked = {"submission_id": "appeal", "about": "sign_off", "method": "tape_in"}
    apprentice.post("/appeals/new", asked | words)
    address = re.search(r"/appeals/\w{32}", decider.get("/appeals"))[0]
    html = decider.get(address)
    assert "a record that rests on it is suspended" in html and "Look at the sheet" in html
    wanted = re.search(r"unsign:\w{32}", html)[0]
    decider.post(address, {"upheld": "yes", "remedy": wanted} | words)
    assert "1 service is to be watched again" in decider.get("/needs")
    assert "The sheet that said competent is set aside" in apprentice.get(address)
    assert "set aside" in apprentice.get("/observations/mine")
