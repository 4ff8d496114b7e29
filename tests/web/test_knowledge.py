"""The method book on screen."""

import re

import pytest
from markupsafe import escape

from tests.support.people import a_person
from tests.support.shown import shown
from trainer.core.knowledge.quantity import said
from trainer.core.scenarios.family import families


@pytest.fixture
def reader(visit, sqlite_work):
    return visit(a_person(sqlite_work))


def test_every_page_of_every_method_opens(reader, bank):
    home = reader.get("/methods")
    for method in bank.methods.values():
        assert method.name in home
        chapter = reader.get(f"/methods/{method.id}")
        assert "A training aid" in chapter
        for topic in {fact.topic for fact in bank.facts_of(method.id)}:
            assert f"/methods/{method.id}/{topic}" in chapter
            assert "A training aid" in reader.get(f"/methods/{method.id}/{topic}")
        assert "A training aid" in reader.get(f"/methods/{method.id}/steps")
        reader.get(f"/methods/{method.id}/differences")


def test_usual_practice_is_shown_as_such(reader, bank):
    pages = "".join(
        reader.get(f"/methods/tape_in/{topic}")
        for topic in {fact.topic for fact in bank.facts_of("tape_in")}
    )
    assert "Usual salon practice, no published source" in pages


def test_what_is_not_in_the_book_is_not_there(reader):
    for address in ("/methods/glue_gun", "/methods/tape_in/weather", "/methods/glue_gun/steps"):
        reader.get(address, 404)


def test_strangers_are_asked_to_sign_in(client):
    assert "/sign-in" in client.get("/methods").location


def anchors(page):
    return set(re.findall(r'\bid="([^"]+)"', page))


def test_everything_of_the_bank_has_its_anchor(reader, bank):
    there = anchors(reader.get("/methods/sources"))
    assert {f"source-{one}" for one in bank.sources} <= there
    for method in bank.methods.values():
        pages = ["steps", "differences", *{one.topic for one in bank.facts_of(method.id)}]
        found = set().union(*(anchors(reader.get(f"/methods/{method.id}/{p}")) for p in pages))
        wanted = {f"statement-{one.id}" for one in bank.facts_of(method.id)}
        wanted |= {f"rule-{one.id}" for one in bank.rules_of(method.id)}
        wanted |= {f"idea-{one.id}" for one in bank.misconceptions_of(method.id)}
        wanted |= {f"difference-{one.id}" for one in bank.differing(method.id)}
        wanted |= {f"trouble-{one.id}" for one in bank.troubles_of(method.id)}
        wanted |= {f"care-{one.id}" for one in bank.care_of(method.id, True)}
        wanted |= {f"miscare-{one.id}" for one in bank.care_of(method.id, False)}
        for one in bank.procedures.values():
            if one.method == method.id:
                wanted |= {f"step-{one.service}-{step.id}" for step in one.steps}
                wanted |= {f"never-{one.service}-{never.id}" for never in one.forbidden}
        assert wanted - found == set(), method.id


def test_every_link_into_the_book_ends_at_a_paragraph(reader):
    page = reader.get("/methods/search?q=pull") + reader.get("/methods/tape_in/tension_risk")
    page += reader.get("/methods/tape_in")
    links = set(re.findall(r'href="(/methods/[^"#]+)#([^"]+)"', page))
    assert len(links) > 20
    pages = {address: anchors(reader.get(address)) for address, _ in links}
    assert [(a, part) for a, part in links if part not in pages[a]] == []


def test_a_reason_leads_to_its_paragraph(visit, sqlite_work, bank):
    someone = a_person(sqlite_work)
    here = visit(someone)
    family = next(
        one for one in families(bank, method="tape_in") if one.topic == "contraindications"
    )
    path, item = shown(sqlite_work, someone, family.id, 7)
    page = here.post(path, {"choice": item.options[0].id})
    links = re.findall(r'href="(/methods/tape_in/[^"#]+)#(statement-[^"]+)"', page)
    assert {part for _, part in links} == {f"statement-{one}" for one in item.facts}
    for address, part in links:
        assert part in anchors(here.get(address))
    teacher = a_person(sqlite_work, "instructor", organisation=someone.organisation)
    seen = visit(teacher).get(f"/cohort/{someone.id}/answers/{path.rsplit('/', 1)[1]}")
    assert re.findall(r'href="(/methods/tape_in/[^"#]+)#(statement-[^"]+)"', seen) == links


def test_the_search_marks_what_it_found(reader):
    page = reader.get("/methods/search?q=shedding")
    assert "<mark>shed</mark>" in page
    assert 'value="shedding"' in page
    assert re.search(r"Searched: \d+ statements, \d+ rules", page)


def test_a_search_that_finds_nothing_helps(reader):
    page = reader.get("/methods/search?q=%3Czebra%3E")
    assert "Nothing found" in page and "Try fewer words" in page
    assert "<zebra" not in page
    assert "Write a word or two" in reader.get("/methods/search")
    assert "Write a word or two" in reader.get("/methods/search?q=%20")


def test_the_whole_method_on_one_page(reader, bank):
    page = reader.get("/methods/tape_in/print")
    assert page.index("A training aid") < page.index("Measures") < page.index('class="sources"')
    assert "print.css" in page and 'media="print"' in page
    assert "Facts last reviewed" in page
    for fact in bank.facts_of("tape_in"):
        assert escape(said(fact)) in page
    for rule in bank.rules_of("tape_in"):
        assert escape(rule.statement) in page
    for trouble in bank.troubles_of("tape_in"):
        assert escape(trouble.because) in page
        assert all(escape(one.note) in page for one in trouble.wrong)
    for line in (*bank.care_of("tape_in", True), *bank.care_of("tape_in", False)):
        assert escape(line.text) in page


def test_what_goes_wrong_is_told_without_gaps_and_found(reader, bank):
    for method in bank.methods:
        page = reader.get(f"/methods/{method}/steps")
        assert "When something goes wrong" in page and "Care at home" in page
        assert "{{" not in page and "the client" in page
    assert "trouble-glue_lid" in reader.get("/methods/search?q=eyelids stuck")
    assert "miscare-sleep_wet" in reader.get("/methods/search?q=bed with wet hair")


def test_what_is_printed_is_not_for_strangers(client, visit, sqlite_work):
    for address in ("/methods/search?q=hair", "/methods/sources", "/methods/tape_in/print"):
        assert "/sign-in" in client.get(address).location
