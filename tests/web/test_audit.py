"""How the questions are checked, on screen: nothing yet, a result, filters, guidelines."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from trainer.core.scenarios.audit import AuditResult, Finding
from trainer.core.scenarios.audit.guidelines import GUIDELINES, name_of
from trainer.use_cases import audit_questions

FIGURES = {
    "reading_grade": 3.1,
    "longest_is_key": 0.26,
    "chance": 0.25,
    "position_holm": 1.0,
    "distinct": 81.0,
    "declared": 60.0,
    "way_gain": 0.31,
}
FOUND = Finding(name_of("HDR 24"), "choosing the shortest is right in 56%, chance is 25%")
RESULTS = [
    AuditResult("unsafe_removal.tape_in", 200, (), FIGURES, "the shortest"),
    AuditResult("unsafe_removal.clip_in", 200, (FOUND,), FIGURES, "the shortest"),
    AuditResult("growth_out.tape_in", 200, (), {"reading_grade": 2.0, "distinct": 9.0}),
]


@pytest.fixture
def page(visit, sqlite_work):
    return visit(a_person(sqlite_work, "instructor"))


@pytest.fixture
def kept(settings, bank):
    return audit_questions.keep(settings.instance, RESULTS, bank.version, 200, "working", NOW)


def test_before_the_first_it_says_how_to_run_one(page):
    html = page.get("/methods/audit")
    assert "trainer audit --count 2000 --save" in html
    assert "<table" not in html


def test_each_kind_with_its_figures_findings_first(page, kept):
    html = page.get("/methods/audit")
    assert "Tue 3 Mar 2026, 09:00 UTC" in html
    assert "81 in 200, 60 promised" in html
    assert "26 %, chance 25 %" in html
    assert "31 points" in html
    assert html.index(FOUND.what) < html.index("nothing found")
    assert "has changed since" not in html and "have changed since" not in html


def test_filters_by_method_and_by_findings(page, kept):
    assert FOUND.what not in page.get("/methods/audit?method=tape_in")
    only = page.get("/methods/audit?only=findings")
    assert FOUND.what in only and "nothing found" not in only
    assert "Nothing was found." in page.get("/methods/audit?method=tape_in&only=findings")
    assert FOUND.what in page.get("/methods/audit?method=nonsense")


def test_it_says_when_the_content_has_changed(page, settings):
    later = NOW + timedelta(days=1)
    audit_questions.keep(settings.instance, RESULTS, "older", 200, "working", later)
    assert "have changed since" in page.get("/methods/audit")


def test_a_file_that_cannot_be_read_is_no_audit(page, kept):
    kept.write_text("{", encoding="utf-8")
    assert "No check has been kept yet" in page.get("/methods/audit")


def test_every_guideline_is_listed_with_its_source(page):
    html = page.get("/methods/audit/guidelines")
    assert "Applied Measurement in Education 15(3)" in html
    assert html.count("<tr>") == len(GUIDELINES) + 1


def test_it_is_for_instructors_and_administrators(visit, sqlite_work, page):
    assert "/methods/audit" in page.get("/methods")
    apprentice = visit(a_person(sqlite_work, "apprentice"))
    assert "/methods/audit" not in apprentice.get("/methods")
    apprentice.get("/methods/audit", 403)
