"""A safety fact changes: it is noted once, the house sees whom it concerns, nobody else does."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.support.changed import CHANGED, FACT, METHOD, answer, finish, leaning, older, show
from tests.support.people import NOW, a_person, an_organisation
from tests.support.practised import a_sitting
from tests.support.records import a_record, evidence
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.store import events, fact_changes
from trainer.store.sittings import SittingItemRow
from trainer.use_cases import (
    certify,
    choose_practice,
    keep_people,
    note_facts,
    offer_top_up,
    see_changes,
    see_needs,
    take_top_up,
)
from trainer.use_cases.keep_log import check_log
from trainer.use_cases.offer_top_up import Wish
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

DUE = NOW.date() + timedelta(days=10)


@pytest.fixture
def boss(work, place):
    return a_person(work, "instructor", "administrator", organisation=place)


@pytest.fixture
def ada(work, bank, earned, issuing, place):
    """Somebody with a record from before the change."""
    someone = a_person(work, organisation=place, name="Ada Lowe")
    a_record(work, bank, earned, issuing, someone)
    return someone


def changes(work):
    with work.reading() as unit:
        return fact_changes.in_order(unit)


def offer(work, boss, change_id, length=5, due_on=DUE, required=False, now=NOW):
    with work.writing(boss.viewer) as unit:
        offer_top_up.offer(unit, change_id, Wish(length, due_on, required), now)


def mine(work, bank, someone, now=NOW):
    with work.reading(someone.viewer) as unit:
        return take_top_up.mine(unit, bank, now)


def seen(work, bank, viewer, change_id, after=None):
    with work.reading(viewer) as unit:
        return see_changes.one(unit, bank, change_id, after, NOW)


def told(work, bank, someone, now=NOW):
    with work.reading(someone.viewer) as unit:
        return {one.kind: one for one in see_needs.needs(unit, bank, 60, now)}


def test_the_first_start_notes_the_facts_and_no_change(work, bank):
    assert note_facts.note(work, bank, NOW) == 0
    assert note_facts.note(work, bank, NOW + timedelta(days=1)) == 0
    assert changes(work) == []
    with work.reading() as unit:
        use = fact_changes.last_use(unit)
    assert (use.number, use.version, use.at) == (1, bank.version, NOW)
    assert set(use.facts) == set(bank.facts)


def test_a_change_is_noted_once_with_old_and_new_words_and_logged(work, bank, a_change):
    a_change(work, bank)
    assert note_facts.note(work, bank, NOW) == 0
    (row,) = changes(work)
    assert (row.fact, row.kind, row.asks_again) == (FACT, "changed", True)
    assert "0 to about 3 mm" in row.before["said"] and "0 to about 1 mm" in row.after["said"]
    assert (row.old_version, row.new_version) == ("older", bank.version)
    assert (row.methods, row.service) == ([METHOD], "fit")
    with work.reading() as unit:
        (event,) = [one for one in events.all_in_order(unit) if one.kind == "fact.changed"]
        (body,) = [one.body for one in events.bodies(unit) if one.number == event.number]
        assert check_log(unit)[1] == []
    assert (body["before"], body["after"]) == (row.before["said"], row.after["said"])


def test_what_cannot_injure_is_not_listed_and_going_back_is_a_change_too(work, bank, a_change):
    a_change(work, bank)
    plain = next(one for one in bank.facts.values() if not one.critical)
    facts = {**bank.facts, plain.id: replace(plain, statement="Something else.")}
    assert note_facts.note(work, replace(bank, version="newer", facts=facts), NOW) == 0
    assert note_facts.note(work, older(bank, "older"), NOW) == 1
    assert [row.new_version for row in changes(work)] == [bank.version, "older"]


def test_new_and_retired_facts_are_listed_and_ask_nobody(work, bank, a_change):
    without = {name: fact for name, fact in bank.facts.items() if name != FACT}
    a_change(work, bank, before=replace(bank, version="less", facts=without))
    note_facts.note(work, replace(bank, version="gone", facts=without), NOW)
    added, gone = changes(work)
    assert (added.kind, added.before, added.asks_again) == ("added", None, False)
    assert (gone.kind, gone.after, gone.asks_again, gone.families) == ("retired", None, False, {})


def test_families_lean_on_a_fact_as_the_questions_say_themselves(bank):
    """Beside it a second way: questions of other seeds, and the facts that they name."""
    found = leaning()[FACT]
    assert found and all(may <= rests <= note_facts.TRIED for rests, may in found.values())
    most = [name for name, (rests, _) in found.items() if rests >= note_facts.TRIED / 2]
    assert most
    for name in most:
        assert any(FACT in generate(bank, name, seed).facts for seed in range(12))
    for family in families(bank, method=METHOD, topic="timings"):
        if family.id not in found and family.recipe.type != "consultation":
            assert all(FACT not in generate(bank, family.id, seed).facts for seed in range(3))


def test_the_house_sees_who_holds_a_record_from_before(
    work, bank, a_change, boss, ada, earned, issuing, place
):
    late = a_person(work, organisation=place, name="Bo Hart")
    earned.known[late.id, METHOD] = evidence("s-late", passed_on=NOW.date())
    a_record(work, bank, earned, issuing, late)
    change_id = a_change(work, bank)
    found = seen(work, bank, boss.viewer, change_id)
    assert [one.name for one in found.holders] == ["Ada Lowe"]
    ((method, _, until),) = found.holders[0].records
    assert method == METHOD and until > NOW.date()
    assert (found.listed.holders, found.listed.finished) == (1, 0)
    assert sum(count for _, _, count in found.leaning) == len(leaning()[FACT])
    assert "1 person holds a record" in told(work, bank, boss)["change"].words
    with work.reading(boss.viewer) as unit:
        listed, after = see_changes.page(unit, "", NOW)
    assert [one.id for one in listed] == [change_id] and after == ""


def test_holders_come_by_name_a_page_at_a_time(
    work, bank, a_change, boss, ada, earned, issuing, place, monkeypatch
):
    monkeypatch.setattr(see_changes, "HOLDERS", 1)
    other = a_person(work, organisation=place, name="Ada Lowe")
    a_record(work, bank, earned, issuing, other)
    change_id = a_change(work, bank)
    first = seen(work, bank, boss.viewer, change_id)
    rest = seen(work, bank, boss.viewer, change_id, first.next_after)
    ids = [one.person_id for one in (*first.holders, *rest.holders)]
    assert sorted(ids) == sorted([ada.id, other.id]) and rest.next_after is None


def test_an_open_sitting_with_old_words_is_shown(work, bank, a_change, boss, place):
    cy = a_person(work, organisation=place, name="Cy Örs")
    sitting = a_sitting(cy, METHOD, False, CHANGED)
    sitting.state, sitting.finished_at, sitting.passed = "main", None, None
    sitting.unfinished, sitting.bank_version = f"{cy.id}:{METHOD}", "older"
    with work.writing(cy.viewer) as unit:
        unit.session.add(sitting)
        unit.session.flush()
        for position, facts in enumerate(([FACT], ["tape_in.wear"])):
            row = SittingItemRow(
                sitting_id=sitting.id,
                position=position,
                phase="main",
                family="plain",
                kept={"facts": facts},
                flagged=False,
            )
            unit.session.add(row)
    change_id = a_change(work, bank)
    (found,) = seen(work, bank, boss.viewer, change_id).sittings
    assert (found.name, found.method, found.questions) == ("Cy Örs", METHOD, 1)


def test_another_house_sees_the_change_and_nobody_of_this_one(
    work, bank, a_change, boss, ada, place
):
    change_id = a_change(work, bank)
    offer(work, boss, change_id)
    other = a_person(work, "instructor", "administrator")
    found = seen(work, bank, other.viewer, change_id)
    assert (found.holders, found.listed.holders, found.top_up) == ([], 0, None)
    assert "change" not in told(work, bank, other)
    stranger = a_person(work)
    assert mine(work, bank, stranger) == ()
    with work.reading(stranger.viewer) as unit, pytest.raises(NotFound):
        take_top_up.one(unit, bank, change_id, NOW)
    with work.reading(other.viewer) as unit, pytest.raises(NotFound):
        see_changes.one(unit, bank, "nothing", None, NOW)


def test_an_offer_asks_the_holders_and_is_logged(work, bank, a_change, boss, ada):
    change_id = a_change(work, bank)
    assert mine(work, bank, ada) == ()
    offer(work, boss, change_id)
    (asked,) = mine(work, bank, ada)
    assert "3 mm" in asked.was and "1 mm" in asked.now
    assert (asked.due_on, asked.how_far.length, asked.begun) == (DUE, 5, False)
    need = told(work, bank, ada)["top_up"]
    assert (need.words, need.on, need.late) == (
        "A fact you were assessed on has changed: 5 questions by",
        DUE,
        False,
    )
    assert told(work, bank, ada, NOW + timedelta(days=11))["top_up"].late
    assert "change" not in told(work, bank, boss)
    offer(work, boss, change_id, length=8, due_on=DUE + timedelta(days=1))
    (again,) = mine(work, bank, ada)
    assert (again.how_far.length, again.due_on) == (8, DUE + timedelta(days=1))
    with work.reading() as unit:
        kinds = [row.kind for row in events.all_in_order(unit)]
    assert kinds.count("top_up.offered") == 2


@pytest.mark.parametrize(
    ("wish", "field"),
    [
        (Wish(4, DUE), "length"),
        (Wish(9, DUE), "length"),
        (Wish(5, NOW.date() - timedelta(days=1)), "due_on"),
        (Wish(5, NOW.date() + timedelta(days=400)), "due_on"),
    ],
)
def test_what_cannot_be_asked_is_refused(sqlite_work, bank, a_change, wish, field):
    boss = a_person(sqlite_work, "instructor", "administrator")
    change_id = a_change(sqlite_work, bank)
    with sqlite_work.writing(boss.viewer) as unit, pytest.raises(InputProblem) as problem:
        offer_top_up.offer(unit, change_id, wish, NOW)
    assert problem.value.where == field


def test_only_those_who_settle_rules_may_have_it_required(sqlite_work, bank, a_change):
    change_id = a_change(sqlite_work, bank)
    place = an_organisation(sqlite_work)
    teacher = a_person(sqlite_work, "instructor", organisation=place)
    head = a_person(sqlite_work, "administrator", organisation=place)
    with pytest.raises(Forbidden):
        offer(sqlite_work, teacher, change_id, required=True)
    offer(sqlite_work, head, change_id, required=True)
    offer(sqlite_work, teacher, change_id, length=6, required=True)
    with pytest.raises(Forbidden):
        offer(sqlite_work, teacher, change_id)
    with pytest.raises(Forbidden):
        offer(sqlite_work, a_person(sqlite_work, organisation=place), change_id)


def test_what_no_question_rests_on_cannot_be_offered(sqlite_work, bank, a_change, monkeypatch):
    monkeypatch.setattr("tests.support.changed.leaning", lambda: {FACT: {}})
    change_id = a_change(sqlite_work, bank)
    boss = a_person(sqlite_work, "instructor", "administrator")
    with pytest.raises(InputProblem, match="nothing to ask"):
        offer(sqlite_work, boss, change_id)
    assert not seen(sqlite_work, bank, boss.viewer, change_id).may_ask


def test_what_can_only_be_told_by_mouth_is_told_for_a_while(
    sqlite_work, bank, a_change, earned, issuing, monkeypatch
):
    boss = a_person(sqlite_work, "instructor")
    a_record(
        sqlite_work, bank, earned, issuing, a_person(sqlite_work, organisation=boss.organisation)
    )
    monkeypatch.setattr("tests.support.changed.leaning", lambda: {FACT: {}})
    a_change(sqlite_work, bank)
    assert "change" in told(sqlite_work, bank, boss)
    assert "change" not in told(sqlite_work, bank, boss, NOW + see_changes.BY_MOUTH)


def test_it_is_finished_once_every_latest_answer_is_right(work, bank, a_change, boss, ada):
    change_id = a_change(work, bank)
    offer(work, boss, change_id)
    first = show(work, bank, ada, change_id)
    assert show(work, bank, ada, change_id) == first
    marked = answer(work, ada, first, right=False)
    assert not marked.mark.right and (marked.top_up.right, marked.top_up.length) == (0, 5)
    assert FACT in marked.item.facts
    for _ in range(4):
        marked = answer(work, ada, show(work, bank, ada, change_id))
    assert (marked.top_up.right, marked.top_up.done) == (4, False)
    again = show(work, bank, ada, change_id)
    assert again != first
    marked = answer(work, ada, again)
    assert marked.top_up.done and show(work, bank, ada, change_id) == ""
    (asked,) = mine(work, bank, ada)
    assert asked.done_on == NOW.date() and "top_up" not in told(work, bank, ada)
    assert seen(work, bank, boss.viewer, change_id).listed.finished == 1
    with work.reading() as unit:
        (event,) = [one for one in events.all_in_order(unit) if one.kind == "top_up.finished"]
        assert [b.person_id for b in events.bodies(unit) if b.number == event.number] == [ada.id]


def test_every_question_rests_on_the_fact_and_no_two_are_the_same(
    sqlite_work, bank, a_change, earned, issuing
):
    boss = a_person(sqlite_work, "instructor", "administrator")
    ada = a_person(sqlite_work, organisation=boss.organisation)
    a_record(sqlite_work, bank, earned, issuing, ada)
    change_id = a_change(sqlite_work, bank)
    offer(sqlite_work, boss, change_id, length=8)
    items = []
    while item_id := show(sqlite_work, bank, ada, change_id):
        items.append(answer(sqlite_work, ada, item_id).item)
    assert len(items) == 8 == len({(one.stem, one.options) for one in items})
    assert all(FACT in one.facts and one.critical for one in items)
    assert {one.heading.method for one in items} == {METHOD}
    assert len({one.heading.family for one in items}) > 1
    with sqlite_work.reading(ada.viewer) as unit:
        known = choose_practice.known_to(unit, ada.id)
    assert sum(one.right for (_, topic), one in known.items() if topic == "") == 8


def test_a_fact_that_changes_once_more_is_asked_once_more(work, bank, a_change, boss, ada):
    """Nobody is taught words that have changed again, and nobody is late from one hour on."""
    first = a_change(work, bank)
    offer(work, boss, first, required=True)
    finish(work, bank, ada, first)
    later = NOW + timedelta(days=30)
    newest = older(bank, "newest", high=0.5)
    note_facts.note(work, newest, later)
    second = changes(work)[-1]
    (asked,) = mine(work, newest, ada, later)
    assert (asked.change_id, asked.done_on, asked.required) == (second.id, None, True)
    assert "0.5 mm" in asked.now and "1 mm" in asked.was
    assert asked.due_on == (later + note_facts.AT_LEAST).date()
    overtaken = seen(work, newest, boss.viewer, first)
    assert overtaken.listed.overtaken and not overtaken.may_ask and not overtaken.holders
    with pytest.raises(InputProblem, match="nothing to ask"):
        offer(work, boss, first)
    assert seen(work, newest, boss.viewer, second.id).listed.holders == 1


def test_a_new_source_alone_leaves_what_is_asked_as_it_is(work, bank, a_change, boss, ada):
    first = a_change(work, bank)
    offer(work, boss, first, required=True)
    fact = bank.facts[FACT]
    sourced = replace(fact, basis=(replace(fact.basis[0], kind="weak", source="", locator=""),))
    cited = replace(bank, version="cited", facts={**bank.facts, FACT: sourced})
    assert note_facts.note(work, cited, NOW) == 1
    assert [(row.asks_again, row.overtaken_at) for row in changes(work)] == [
        (True, None),
        (False, None),
    ]
    assert [one.change_id for one in mine(work, cited, ada)] == [first]


def test_who_passed_again_after_a_record_ended_is_asked(
    work, bank, a_change, boss, ada, earned, issuing
):
    """The assessment clears them for consultations, so the desk weighs the top-up with it."""
    passed = (NOW + timedelta(days=380)).date()
    earned.known[ada.id, METHOD] = evidence("s-again", passed_on=passed, observed=())
    changed = NOW + timedelta(days=390)
    with work.writing() as unit:
        certify.consider(unit, bank, ada.id, ada.organisation, METHOD, issuing, changed)
    change_id = a_change(work, bank, changed)
    later = changed + timedelta(days=1)
    offer(work, boss, change_id, due_on=later.date(), now=later)
    assert [one.change_id for one in mine(work, bank, ada, later)] == [change_id]


def test_a_fact_that_is_taken_out_ends_what_was_asked_on_it(work, bank, a_change, boss, ada):
    offer(work, boss, a_change(work, bank), required=True)
    without = {name: fact for name, fact in bank.facts.items() if name != FACT}
    gone = replace(bank, version="gone", facts=without)
    note_facts.note(work, gone, NOW)
    assert mine(work, bank, ada) == ()


def test_what_is_finished_counts_in_every_house(work, bank, a_change, boss, ada):
    salon = an_organisation(work, "Fig Lane", "salon")
    desk = a_person(work, "salon_manager", organisation=salon)
    with work.writing() as unit:
        keep_people.join(unit, ada.id, salon, ("apprentice",), NOW)
    change_id = a_change(work, bank)
    offer(work, boss, change_id)
    assert "change" in told(work, bank, desk)
    assert finish(work, bank, ada, change_id) == 5
    assert "change" not in told(work, bank, desk)
    offer(work, desk, change_id, length=8)
    found = seen(work, bank, desk.viewer, change_id)
    assert [(one.name, one.done_on) for one in found.holders] == [("Ada Lowe", NOW.date())]
