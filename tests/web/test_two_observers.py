"""Photos, a second observer and the way back, on screen."""

import re
from io import BytesIO

import pytest
from PIL import Image

from tests.support.page import words
from tests.support.people import PASSWORD, a_person
from tests.web.test_observations import NEXT, the_sheet, ticked
from trainer.store import observations
from trainer.web.observations import views


def a_picture(side=400):
    out = BytesIO()
    Image.effect_noise((side, side), 90).convert("RGB").save(out, "PNG")
    return BytesIO(out.getvalue()), "work.png"


@pytest.fixture
def boss(sqlite_work):
    return a_person(sqlite_work, "instructor", "administrator", name="Petra Lindqvist")


@pytest.fixture
def other(sqlite_work, boss):
    return a_person(sqlite_work, "instructor", organisation=boss.organisation, name="Kofi Asare")


@pytest.fixture
def learner(sqlite_work, boss):
    return a_person(sqlite_work, organisation=boss.organisation, name="Ama Owusu")


def with_photo(bank, **more):
    return ticked(bank) | {"photos": [a_picture()], "agreed": "y"} | more


def photo_in(html):
    return re.search(r'src="(/observations/photos/\w+\.jpg)"', html).group(1)


def test_a_photo_is_shown_to_few_and_kept_by_no_shared_cache(
    visit, client, sqlite_work, bank, boss, other, learner
):
    html = visit(boss).post(the_sheet(learner), with_photo(bank))
    assert "Taken with the client&#39;s consent" in html or "client's consent" in html
    address = photo_in(html)
    for someone in (boss, other, learner):
        answer = visit(someone).client.get(address)
        assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
        assert answer.headers["Cache-Control"] == "private, max-age=600"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
    fellow = a_person(sqlite_work, organisation=boss.organisation)
    visit(fellow).get(address, 403)
    visit(a_person(sqlite_work, "instructor")).get(address, 404)
    assert "/sign-in" in client.get(address).location


def test_a_photo_larger_than_other_forms_comes_through(visit, bank, boss, learner):
    picture = a_picture(900)
    assert len(picture[0].getvalue()) > 1024 * 1024
    assert photo_in(visit(boss).post(the_sheet(learner), with_photo(bank, photos=[picture])))


def test_what_is_far_too_large_is_refused(visit, monkeypatch, bank, boss, learner):
    monkeypatch.setattr(views, "LARGEST_SHEET", 1000)
    visit(boss).post(the_sheet(learner), with_photo(bank), code=413)


@pytest.mark.parametrize(
    ("change", "label", "said"),
    [
        ({"agreed": ""}, "The client agreed", "consent"),
        ({"photos": [(BytesIO(b"no picture"), "a.jpg")]}, "Photos", "cannot be read"),
        ({"password": "wrong"}, "Photos", "Choose the photos again"),
    ],
)
def test_what_is_wrong_with_a_photo_is_said_and_nothing_is_kept(
    visit, settings, bank, boss, learner, change, label, said
):
    html = visit(boss).post(the_sheet(learner), with_photo(bank, **change), code=400)
    alert = re.search(r'role="alert".*?</div>', html, re.S).group()
    assert label in alert and said in alert
    assert not settings.evidence.exists() or list(settings.evidence.iterdir()) == []
    assert html.count(" checked") >= len(bank.criteria_of("tape_in", "fit"))


def test_a_photo_is_taken_away_with_a_reason(visit, settings, bank, boss, learner):
    page = visit(boss)
    html = page.post(the_sheet(learner), with_photo(bank))
    address = photo_in(html)
    removing = address.removesuffix(".jpg") + "/remove"
    assert "Delete the photo" in page.get(removing)
    page.post(removing, {"reason": "short"}, code=400)
    html = page.post(removing, {"reason": "The client no longer agrees."})
    assert "The photo is deleted" in html and '<img src="/observations/photos' not in html
    page.get(address, 404)
    assert list(settings.evidence.iterdir()) == []
    visit(learner).get(removing, 403)


def test_the_way_back_leads_to_the_book_and_to_practice(visit, sqlite_work, bank, boss, learner):
    met = [one.id for one in bank.criteria_of("tape_in", "fit") if one.id != "tape_in.fit_3"]
    html = visit(boss).post(the_sheet(learner), ticked(bank, met=met, next_step=NEXT))
    step = "/methods/tape_in/steps#step-fit-margin"
    assert step in html and "Assign practice" in html
    with sqlite_work.reading(boss.viewer) as unit:
        (row,) = observations.latest(unit, 5)
    mine = visit(learner).get(f"/observations/{row.id}")
    topic = bank.facts["place.edge_margin"].topic
    assert step in mine and f"/practice/tape_in/{topic}" in mine and NEXT in mine
    assert 'id="step-fit-margin"' in visit(learner).get("/methods/tape_in/steps")


def test_two_observers_from_the_switch_to_agreement(visit, sqlite_work, bank, boss, other, learner):
    first, second = visit(boss), visit(other)
    assert "<b>Off.</b>" in second.get("/observations/two")
    second.post("/observations/two", {"wanted": "yes"}, code=403)
    assert "<b>On.</b>" in first.post("/observations/two", {"wanted": "yes"})
    rest = [one.id for one in bank.criteria_of("tape_in", "fit")][1:]
    sent = ticked(bank, met=rest, next_step=NEXT, notes="My own words.")
    html = first.post(the_sheet(learner), sent)
    assert "a second observer of the same work" in html
    with sqlite_work.reading(boss.viewer) as unit:
        (row,) = observations.latest(unit, 5)
    second.get(f"/observations/{row.id}", 403)
    assert "one of two" in second.get("/observations")
    blind = second.get(f"/observations/{row.id}/second")
    assert "You are the second observer" in blind and "Petra Lindqvist" in blind
    assert " checked" not in blind and NEXT not in blind and "My own words." not in blind
    first.get(f"/observations/{row.id}/second", 403)
    signing = ticked(bank, submission_id="second")
    signing.pop("on")
    for _ in range(2):
        html = second.post(f"/observations/{row.id}/second", signing)
    assert "Not yet competent" in html and "as second observer" in html
    assert NEXT in second.get(f"/observations/{row.id}")
    told, audited = (words(one.get("/observations/two")) for one in (second, first))
    assert "Too few to say" in told and "kappa" not in told
    assert ("kappa" in audited) is ("for an auditor" in audited)
    assert PASSWORD not in html
