"""A safety fact that has changed: an older bank, and a site that went from it to ours."""

from dataclasses import replace
from datetime import timedelta
from functools import lru_cache

import pytest

from tests.support.answers import WRONG, as_sent
from tests.support.people import NOW, Someone
from trainer.core.items.codec import from_kept
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.family import families
from trainer.store import fact_changes, practice
from trainer.use_cases import note_facts, practise, take_top_up
from trainer.use_cases.note_facts import lean_on
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.work import Work

FACT, METHOD, SERVICE = "tape_in.edges_meet", "tape_in", "fit"
CHANGED = NOW - timedelta(days=2)
"""After the assessments of `support.records`, before their tests' day."""


def older(bank: Bank, version: str = "older", **changed) -> Bank:
    """The bank as it was before: without `changed`, the fact had another figure."""
    fact = replace(bank.facts[FACT], **(changed or {"high": 3.0}))
    return replace(bank, version=version, facts={**bank.facts, FACT: fact})


@lru_cache(maxsize=1)
def leaning():
    """What leans on the fact, found once for all tests."""
    bank = open_bank()
    return lean_on(bank, {FACT}, families(bank, method=METHOD))


@pytest.fixture
def a_change(monkeypatch):
    """a_change(work, bank) is the id of the change on a site that has just come to this bank."""
    monkeypatch.setattr(note_facts, "lean_on", lambda _b, facts, _f: leaning() if facts else {})

    def made(work: Work, bank: Bank, at=CHANGED, before: Bank | None = None) -> str:
        note_facts.note(work, before or older(bank), at - timedelta(days=30))
        note_facts.note(work, bank, at)
        with work.reading() as unit:
            return fact_changes.in_order(unit)[-1].id

    return made


def show(work: Work, bank: Bank, someone: Someone, change_id: str, now=NOW) -> str:
    """The next question of somebody's top-up; '' once it is finished."""
    with work.reading(someone.viewer) as unit:
        planned = take_top_up.plan_next(unit, bank, change_id, now)
    if planned is None:
        return ""
    made = take_top_up.make(bank, planned)
    with work.writing(someone.viewer) as unit:
        return take_top_up.show_next(unit, bank, planned, made, now)


def item_shown(work: Work, someone: Someone, item_id: str):
    with work.reading(someone.viewer) as unit:
        return from_kept(practice.shown(unit, item_id).kept)


def sent_for(item, right: bool):
    """An answer to it as a page would send it."""
    return as_sent(item, item.key if right else WRONG[item.heading.type](item))


def answer(work: Work, someone: Someone, item_id: str, right: bool = True, now=NOW):
    sent = sent_for(item_shown(work, someone, item_id), right)
    with work.writing(someone.viewer) as unit:
        return practise.respond(unit, item_id, sent, now)


def finish(work: Work, bank: Bank, someone: Someone, change_id: str, now=NOW) -> int:
    """Answer every question of a top-up rightly; gives how many there were."""
    count = 0
    while item_id := show(work, bank, someone, change_id, now):
        answer(work, someone, item_id, True, now)
        count += 1
    return count
