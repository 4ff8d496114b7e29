"""Answers given through the use cases, and sittings put where they would be kept."""

from datetime import datetime, timedelta

from tests.support.people import NOW, Someone
from tests.support.plain_bank import METHOD, answer_to
from trainer.store import practice
from trainer.store.sittings import SittingRow
from trainer.use_cases import practise
from trainer.use_cases.work import Work


def answer(
    work: Work, bank, someone: Someone, right: bool, topic="removal_safety", at: datetime = NOW
) -> str:
    """Somebody practises once; gives back the shown scenario's id."""
    with work.reading(someone.viewer) as unit:
        planned = practise.plan_next(unit, bank, METHOD, topic, at)
    item = practise.make(bank, planned)
    with work.writing(someone.viewer) as unit:
        item_id = practise.show_next(unit, planned, item, at)
        kept = practice.shown(unit, item_id).kept
        practise.respond(unit, item_id, answer_to(kept, right), at)
    return item_id


def answers(work: Work, bank, someone: Someone, count: int, right: bool, topic="removal_safety"):
    for n in range(count):
        answer(work, bank, someone, right, topic, NOW - timedelta(hours=count - n))


def a_sitting(
    someone: Someone, method: str, passed: bool, finished_at: datetime = NOW
) -> SittingRow:
    """A sitting that is done, as the store keeps it."""
    return SittingRow(
        person_id=someone.id,
        organisation_id=someone.organisation,
        method=method,
        blueprint="bonded",
        state="done",
        opened_at=finished_at - timedelta(hours=1),
        closes_at=finished_at,
        minutes=60,
        finished_at=finished_at,
        bank_version="a1b2c3",
        fingerprint="9c41f2",
        most=40,
        cut=31,
        score=35 if passed else 20,
        confidence=0.97,
        passed=passed,
        outcome={"topics": ["removal_safety"], "borderline": not passed},
    )
