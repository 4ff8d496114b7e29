"""Standards on screen: from 'start a panel' to what held when."""

import re

import pytest

from tests.support.page import words
from tests.support.panels import APanel
from tests.support.people import a_person
from tests.support.practised import a_sitting
from trainer import clock
from trainer.store import standards

METHOD = "tape_in"


@pytest.fixture
def panel(sqlite_work, bank):
    return APanel(sqlite_work, bank, method=METHOD)


def address(panel, end=""):
    return f"/standards/panels/{panel.id}{end}"


def test_the_list_says_what_holds_and_what_is_at_work(visit, panel, bank):
    html = visit(panel.raters[0]).get("/standards")
    assert html.count("starting cut") >= len(bank.methods)
    assert "30 of 40" in html and "18 of 24" in html
    assert "A panel is at work: first round" in html
    assert "Start a panel" in html and f"/standards/panels/{panel.id}" in html
    boss = visit(panel.boss).get("/standards")
    assert "Start a panel" not in boss and "Open the panel" in boss


def test_starting_one_leads_to_it(visit, panel, sqlite_work):
    html = visit(panel.raters[0]).post("/standards/micro_link/panel")
    assert "the panel" in html and "just good enough" in html
    with sqlite_work.reading(panel.boss.viewer) as unit:
        assert standards.under_way(unit, "micro_link")
    visit(panel.raters[0]).post("/standards/no_such_method/panel", code=404)


def test_a_question_is_shown_with_its_answer_folded_away(visit, panel):
    html = visit(panel.raters[0]).get(address(panel, "/questions/1"))
    assert "Of ten stylists who are just good enough" in html
    assert html.count('name="of_ten"') == 11
    assert "<summary>The right answer</summary>" in html
    assert "The others said" not in html and "rater said" not in html


def test_no_choice_keeps_the_page_and_says_so(visit, panel):
    html = visit(panel.raters[0]).post(address(panel, "/questions/1"), code=400)
    assert "Choose how many of ten." in html
    visit(panel.raters[0]).get(address(panel, "/questions/99"), 404)


def test_rating_goes_from_one_to_the_next_and_home_at_the_end(visit, panel):
    page, count = visit(panel.raters[0]), panel.questions()
    html = page.post(address(panel, "/questions/1"), {"of_ten": "7"})
    assert f"Question 2 of {count}" in html
    for place in range(2, count + 1):
        html = page.post(address(panel, f"/questions/{place}"), {"of_ten": "6"})
    assert "You have rated every question" in html
    assert "End the first round" not in html


def test_the_second_round_shows_the_others_without_names(visit, panel):
    panel.rate_all()
    page = visit(panel.raters[0])
    assert "Second round of two" in page.post(address(panel, "/end-round"))
    html = page.get(address(panel, "/questions/1"))
    assert "You said <b>7</b>. The other rater said <b>8</b>." in html
    assert "Rater 2" not in html
    assert re.search(r'value="7" checked', html)


def test_a_round_that_is_not_done_stays_open(visit, panel):
    html = visit(panel.raters[0]).post(address(panel, "/end-round"), code=409)
    assert "Two instructors at least" in html


def test_the_result_in_plain_words_then_proposed_and_adopted(visit, panel, sqlite_work):
    panel.both_rounds()
    one, boss = visit(panel.raters[0]), visit(panel.boss)
    html = one.get(address(panel))
    assert "About 30" in html and "Do the raters agree?" in html
    assert "With so few raters this is a rough guide" in html
    assert "Nobody has finished this assessment here yet" in html
    assert "Propose this cut" in html and "Adopt this cut" not in html
    assert "Adopt this cut" not in boss.get(address(panel))
    assert "waits for an administrator" in one.post(address(panel, "/propose"))
    html = boss.get(address(panel))
    assert "Proposed by Rater 1" in html and "Adopt this cut" in html
    html = boss.post(address(panel, "/adopt"))
    assert "Adopted" in html
    html = boss.get(f"/standards/{METHOD}/history")
    assert "holds now" in html and "Rater 1" in html and "Ada Morrow" in html
    assert "set by a panel" in boss.get("/standards")
    with sqlite_work.reading(panel.boss.viewer) as unit:
        assert standards.in_force(unit, METHOD).adopted_at.date() == clock.today()


def test_the_figures_of_a_panel_are_for_an_auditor_not_for_raters(visit, panel):
    panel.both_rounds()
    html = visit(panel.raters[0]).get(address(panel)).lower()
    html = re.sub(r"<details><summary>where they are furthest apart.*?</details>", "", html)
    for word in ("standard error", "intraclass", "kappa", "variances", "ability estimate"):
        assert word not in html
    assert re.findall(r"\d\.\d", words(html.split("<main", 1)[1])) == []
    assert "intraclass" in visit(panel.boss).get(address(panel))


def test_impact_is_drawn_and_said(visit, panel, sqlite_work):
    for n in range(30):
        learner = a_person(sqlite_work, organisation=panel.organisation)
        with sqlite_work.writing() as unit:
            row = a_sitting(learner, METHOD, True)
            row.score = 20 + n % 20
            unit.session.add(row)
    panel.both_rounds()
    html = visit(panel.raters[0]).get(address(panel))
    assert html.count('<rect class="impact-bar') == 9
    assert "Of the last 30 assessments here" in html
    assert "could hurt a client still stops a pass" in html


def test_an_apprentice_is_told_how_many_and_by_whom(visit, panel, sqlite_work):
    learner = a_person(sqlite_work, organisation=panel.organisation)
    assert "You need 30 right." in visit(learner).get(f"/assessments/{METHOD}")
    panel.adopted(shift=1)
    html = visit(learner).get(f"/assessments/{METHOD}")
    assert "You need about" in html and "Your instructors set that" in html


def test_giving_up_keeps_nothing_open(visit, panel):
    html = visit(panel.raters[0]).post(address(panel, "/drop"))
    assert "given up" in html and "A panel is at work" not in html
    assert "was given up" in visit(panel.raters[0]).get(address(panel))


def test_others_are_kept_out(visit, panel, sqlite_work):
    learner = a_person(sqlite_work, organisation=panel.organisation)
    stranger = a_person(sqlite_work, "instructor")
    for who, code in ((learner, 403), (stranger, 404)):
        visit(who).get(address(panel), code)
        visit(who).post(address(panel, "/end-round"), code=code)
    visit(panel.boss).get(address(panel, "/questions/1"), 403)
    visit(panel.raters[0]).post(address(panel, "/adopt"), code=403)
    visit(panel.raters[0]).get("/standards/nowhere/history", 404)


def test_nothing_for_an_apprentice_speaks_of_ability_figures(visit, panel, sqlite_work):
    panel.adopted(shift=1)
    learner = a_person(sqlite_work, organisation=panel.organisation)
    said = words(visit(learner).get(f"/assessments/{METHOD}")).lower()
    for word in ("theta", "angoff", "standard error", "ability"):
        assert word not in said
