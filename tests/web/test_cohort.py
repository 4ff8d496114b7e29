"""The instructor's first page and one apprentice's page."""

import re
from datetime import timedelta

import pytest

from tests.support.page import words
from tests.support.people import a_person
from tests.support.plain_bank import METHOD, REASON, plain_bank
from tests.support.practised import a_sitting, answers
from trainer import clock
from trainer.store import answers as kept_answers
from trainer.use_cases import assign_module, certify, keep_people, review_cohort
from trainer.use_cases.certify import Issuing

pytestmark = pytest.mark.usefixtures("plain_questions")

BELIEF_WORDS = "It can wait."


@pytest.fixture
def plain():
    return plain_bank()


@pytest.fixture
def boss(sqlite_work):
    return a_person(sqlite_work, "instructor")


@pytest.fixture
def learner(sqlite_work, boss):
    return a_person(sqlite_work, organisation=boss.organisation, name="Ama Owusu")


def an_answer(work, boss, learner):
    with work.reading(boss.viewer) as unit:
        return kept_answers.of_member(unit, learner.id, None, 1)[0].item_id


def test_an_empty_house_is_told_what_to_do(visit, boss):
    assert "No apprentices here yet" in visit(boss).get("/cohort")


def test_a_calm_day_says_so(visit, boss, learner):
    html = visit(boss).get("/cohort")
    assert "Nothing waits for you" in html and "Ama Owusu" in html


def test_what_needs_doing_comes_first(visit, sqlite_work, settings, plain, boss, learner):
    answers(sqlite_work, plain, learner, 12, right=False)
    yesterday = clock.now() - timedelta(days=2)
    wish = assign_module.Wish(
        "Tension first", [METHOD], ["tension_risk"], 9, yesterday.date(), person_ids=[learner.id]
    )
    with sqlite_work.writing(boss.viewer) as unit:
        assign_module.create(unit, plain, wish, ("", ""), yesterday)
        unit.session.add(a_sitting(learner, METHOD, True, yesterday))
        unit.session.flush()
        issuing = Issuing(settings.keys, "http://localhost")
        certify.consider(unit, plain, learner.id, boss.organisation, METHOD, issuing, clock.now())
    html = visit(boss).get("/cohort")
    order = [
        html.index(said)
        for said in (
            "Work to watch",
            ">Overdue<",
            "Tension first",
            ">Stuck<",
            BELIEF_WORDS,
            "Where everybody stands",
            "Wrong ideas behind it",
        )
    ]
    assert order == sorted(order)
    assert f"/modules/new?person={learner.id}&amp;method={METHOD}&amp;topic=removal_safety" in html
    assert 'class="band"' in html and 'role="img" aria-label="Not at the standard yet"' in html


def test_a_group_is_chosen_by_address(visit, sqlite_work, boss, learner):
    with sqlite_work.writing(boss.viewer) as unit:
        group = keep_people.make_group(unit, "Monday evening")
    html = visit(boss).get(f"/cohort?group={group}")
    assert "Monday evening" in html and "Ama Owusu" not in html
    visit(a_person(sqlite_work, "instructor")).get(f"/cohort?group={group}", 404)


def test_further_names_follow_and_lead_back(visit, sqlite_work, boss, learner, monkeypatch):
    monkeypatch.setattr(review_cohort, "PAGE", 1)
    a_person(sqlite_work, organisation=boss.organisation, name="Zia Last")
    browser = visit(boss)
    first = browser.get("/cohort")
    assert "Zia Last" not in first and "From the first name" not in first
    (further,) = re.findall(r'href="(/cohort\?after=[^"]+)#everybody"', first)
    second = browser.get(further)
    assert "Zia Last" in second and "Further names" not in second
    assert 'href="/cohort#everybody"' in second


def test_one_page_shows_answers_sittings_and_ideas(visit, sqlite_work, plain, boss, learner):
    answers(sqlite_work, plain, learner, 12, right=False)
    with sqlite_work.writing() as unit:
        unit.session.add(a_sitting(learner, METHOD, False))
    html = visit(boss).get(f"/cohort/{learner.id}")
    for said in ("Ama Owusu", BELIEF_WORDS, "not passed yet", "20 of 40 right", "All answers"):
        assert said in html
    assert "theta" not in words(html) and "-0." not in words(html)
    assert "Answers of Ama Owusu" in visit(boss).get(f"/cohort/{learner.id}/answers")


def test_an_answer_is_shown_with_key_and_reason(visit, sqlite_work, plain, boss, learner):
    answers(sqlite_work, plain, learner, 1, right=False)
    html = visit(boss).get(f"/cohort/{learner.id}/answers/{an_answer(sqlite_work, boss, learner)}")
    for said in ("Ama Owusu said", "The right answer", REASON):
        assert said in html


def test_another_house_and_apprentices_find_nothing(visit, sqlite_work, plain, boss, learner):
    answers(sqlite_work, plain, learner, 1, right=False)
    home = f"/cohort/{learner.id}"
    pages = [home, f"{home}/answers", f"{home}/answers/{an_answer(sqlite_work, boss, learner)}"]
    stranger = a_person(sqlite_work, "instructor")
    for address in pages:
        visit(stranger).get(address, 404)
        visit(learner).get(address, 403)
    visit(learner).get("/cohort", 403)
    visit(boss).get(f"{home}/answers?before=never~x", 404)
    visit(boss).get(f"/cohort/{boss.id}", 404)
