"""The search of the book, in the words of the trade."""

import pytest

from tests.support.plain_bank import plain_bank
from trainer.use_cases import print_book, read_book
from trainer.use_cases.search_book import KINDS, MOST_IN_GROUP, index_of, search


def every(result):
    return [one.passage for group in result.groups for one in group.found]


@pytest.mark.parametrize(
    ("query", "id"),
    [
        ("shedding normal", "hair.shed_per_day"),
        ("live lice", "catching.lice"),
        ("nits", "catching.lice"),
        ("patch test", "skin_test.before"),
        ("keratin remover", "remove.match_agent"),
        ("acetone fire", "solvent.acetone_flash"),
        ("edges thinning", "loss.edge_thinning"),
        ("pull dry bond", "remove.never_dry_pull"),
        ("vapor", "solvent.acetone_flash"),
        ("vapour", "solvent.acetone_flash"),
        ("ringworm", "catching.ringworm_patch"),
        ("how long may a style stay", "differ.longest_wear"),
        ("felt together", "remove.matting"),
        ("poison centre", "glue.near_eyes"),
    ],
)
def test_trade_words_find_their_place(bank, query, id):
    found = search(bank, query)
    assert id in [one.id for one in every(found)], query
    assert found.whole


def test_british_and_american_find_the_same(bank):
    for one, other in (("colour", "color"), ("vapour", "vapor"), ("fibre", "fiber")):
        first, second = search(bank, one), search(bank, other)
        assert every(first) == every(second) != []


def test_a_source_is_found_with_what_rests_on_it(bank):
    kinds = {one.kind for one in every(search(bank, "pocket guide isopropyl"))}
    assert {"source", "statement"} <= kinds


def test_results_stand_by_method_and_none_is_lost(bank):
    found = search(bank, "hair")
    scopes = [group.scope for group in found.groups]
    assert scopes == sorted(scopes, key=["all", "bonded", *bank.methods, "sources"].index)
    assert sum(len(g.found) + g.more for g in found.groups) == found.count
    assert max(len(g.found) for g in found.groups) == MOST_IN_GROUP


def test_nothing_found_says_what_was_searched(bank):
    found = search(bank, "zebra giraffe")
    assert (found.groups, found.count) == ((), 0)
    assert found.searched["statement"] == len(bank.facts)
    assert found.searched["source"] == len(bank.sources)
    assert found.searched["rule"] == len(bank.rules)
    assert found.searched["idea"] == len(bank.misconceptions)
    assert found.searched["step"] == sum(len(one.steps) for one in bank.procedures.values())
    assert set(found.searched) == set(KINDS)


def test_an_endless_query_is_cut(bank):
    assert len(search(bank, "hair " * 500).query) <= 100


def test_every_place_is_an_anchor_of_its_page(bank):
    """Chapter and page of each passage are such that the page holds the paragraph."""
    for one in index_of(bank).passages:
        if one.page == "sources":
            assert one.id in bank.sources
        elif one.kind == "trouble":
            assert bank.troubles[one.id] in bank.troubles_of(one.chapter)
        elif one.kind in ("care", "miscare"):
            assert bank.home_care[one.id] in bank.care_of(one.chapter, one.kind == "care")
        elif one.page == "steps":
            service, _, step = one.id.partition("-")
            procedure = bank.procedure(one.chapter, service)
            assert step in {s.id for s in (*procedure.steps, *procedure.forbidden)}
        elif one.page == "differences":
            assert one.id in {d.id for d in bank.differing(one.chapter)}
        else:
            part = next(
                p for p in read_book.chapter(bank, one.chapter).topics if p.topic == one.page
            )
            ids = {k.line.id for k in (*part.own, *part.shared)}
            ids |= {r.rule.id for r in part.rules} | {w.wrong.id for w in part.wrong_ideas}
            assert one.id in ids


def test_a_bank_without_words_for_it_is_searched_too():
    assert search(plain_bank(), "plain").groups is not None


def test_a_sheet_for_paper_numbers_every_source_it_names(bank):
    for method in bank.methods:
        sheet = print_book.whole(bank, method)
        part_facts = {k.line.id for p in sheet.chapter.topics for k in (*p.own, *p.shared)}
        assert part_facts <= set(sheet.marks)
        assert all(sheet.marks.values()) and all(sheet.rules.values())
        assert set(sheet.rules) == {rule.id for rule in bank.rules_of(method)}
        named = {b.source for f in sheet.marks for b in bank.facts[f].basis if b.source}
        named |= {
            b.source
            for one in sheet.chapter.disputed
            for side in one.difference.positions
            for b in side.basis
            if b.source
        }
        assert {one.id for one in sheet.sources} == named
        assert len(sheet.sources) == len(named)


def test_numbers_lead_to_the_right_source(bank):
    sheet = print_book.whole(bank, "fusion_bond")
    basis = bank.facts["solvent.alcohol_flash"].basis[0]
    number = int(sheet.marks["solvent.alcohol_flash"].split(",")[0].split()[0])
    assert sheet.sources[number - 1].id == basis.source


def test_works_hold_every_source_with_its_facts(bank):
    works = {one.source.id: {fact.id for fact in one.facts} for one in print_book.works(bank)}
    assert set(works) == set(bank.sources)
    assert "solvent.alcohol_flash" in works["C2"]


def test_measures_and_review_days_stand_in_the_chapter(bank):
    chapter = read_book.chapter(bank, "tape_in")
    assert ("Move up after", "4 to 8 weeks") in [(m.what, m.figure) for m in chapter.measures]
    first, last = chapter.reviewed
    days = [fact.reviewed for fact in bank.facts_of("tape_in")]
    assert (first, last) == (min(days), max(days))
