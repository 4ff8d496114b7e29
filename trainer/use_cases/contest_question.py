"""Contest a question of a sitting; answer the contest; let a faulty question count no more.

Whoever sat says what is wrong. An instructor who is not that person answers. A question found
faulty is withdrawn, from this sitting or from every one that had its like, and each is decided
again: nobody loses a pass by it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from trainer.core.items.codec import from_kept
from trainer.core.items.item import Item
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.store import contests, people, sittings
from trainer.store.base import new_id
from trainer.store.contests import ContestRow, SittingDecisionRow
from trainer.store.sittings import DONE, MAIN, SittingRow
from trainer.store.unit import Unit
from trainer.use_cases import certify
from trainer.use_cases.certify import Issuing
from trainer.use_cases.finish_sitting import log_decision, reviewed_of, settle
from trainer.use_cases.keep_log import log
from trainer.use_cases.know_standard import cut_of_the_rest, expected_scores
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

WORDS = Letters(10, 2000)
"""Of a comment or an answer."""
OPEN_FOR = timedelta(days=60)
"""How long after a result its questions may be contested."""
MOST = 100
ONE, ALIKE = "one", "alike"
"""How far a withdrawal goes: this question, or every one of its kind from this version."""


@dataclass(frozen=True, slots=True)
class Contest:
    """A contest as a list shows it."""

    id: str
    sitting_id: str
    position: int
    name: str
    method: str
    topic: str
    comment: str
    sent_at: datetime
    upheld: bool | None
    answer: str
    answered_by: str
    answered_at: datetime | None


@dataclass(frozen=True, slots=True)
class Opened:
    """A contest with the question, what was answered, the key, and how many are like it."""

    contest: Contest
    item: Item
    said: tuple[str, ...]
    key: tuple[str, ...]
    sittings_alike: int
    own: bool


def contest(unit: Unit, sitting_id: str, position: int, comment: str, now: datetime) -> None:
    """Say what is wrong with a question of an own sitting that is done. Once for each question.

    Raises NotFound, and InputProblem naming what to mend.
    """
    row = sittings.own(unit, sitting_id)
    if row.state != DONE or row.finished_at is None:
        raise NotFound
    said = WORDS.read(comment, "comment", "Say what is wrong with the question")
    if now > row.finished_at + OPEN_FOR:
        raise InputProblem(
            f"A question can be contested for {OPEN_FOR.days} days after the result",
            "comment",
            "Speak with your instructor.",
        )
    sittings.item(unit, sitting_id, position)
    values = {
        "id": new_id(),
        "sitting_id": sitting_id,
        "position": position,
        "person_id": unit.viewer.person_id,
        "organisation_id": row.organisation_id,
        "comment": said,
        "sent_at": now,
        "upheld": None,
        "answer": "",
        "answered_by": "",
        "answered_at": None,
    }
    if contests.keep_once(unit, values):
        body = {"sitting": sitting_id, "position": position}
        log(unit, "question.contested", body, now, person_id=row.person_id)


def of_sitting(unit: Unit, sitting_id: str) -> dict[int, Contest]:
    """Position -> contest, for a sitting of the viewer. Raises NotFound."""
    sittings.own(unit, sitting_id)
    return {row.position: _contest(unit, row) for row in contests.of_sitting(unit, sitting_id)}


def history(unit: Unit, sitting_id: str) -> Sequence[SittingDecisionRow]:
    """Every decision on a sitting of the viewer, first to last. Raises NotFound."""
    sittings.own(unit, sitting_id)
    return contests.decisions(unit, sitting_id)


def latest(unit: Unit) -> list[Contest]:
    """Contests of the organisation, those that wait first."""
    unit.viewer.must_be("instructor")
    return [_contest(unit, row) for row in contests.latest(unit, MOST)]


def waiting(unit: Unit) -> int:
    """How many wait for an answer."""
    return contests.waiting(unit)


def answered(unit: Unit, since: datetime) -> Sequence[datetime]:
    """When the viewer's own contests were answered, after `since`."""
    return contests.answered_for(unit, unit.viewer.person_id, since)


def see(unit: Unit, contest_id: str) -> Opened:
    """A contest with its question. Raises NotFound, Forbidden."""
    unit.viewer.must_be("instructor")
    row = contests.contest(unit, contest_id)
    found = contests.item_of(unit, row.sitting_id, row.position)
    item = from_kept(found.kept)
    kind = type_of(item)
    said = () if found.answer is None else kind.say_response(item, found.answer)
    there = contests.alike(unit, found.family, item.heading.bank_version)
    return Opened(
        _contest(unit, row),
        item,
        tuple(said),
        tuple(kind.say_key(item)),
        len({one.sitting_id for one in there}),
        row.person_id == unit.viewer.person_id,
    )


def answer(
    unit: Unit,
    bank: Bank,
    contest_id: str,
    upheld: bool,
    words: str,
    reach: str,
    issuing: Issuing,
    now: datetime,
) -> int:
    """Answer a contest. Where it is upheld: withdraw, decide again, and give how many sittings.

    `reach`: 'one' or 'alike'. Answering twice changes nothing. Raises NotFound, Forbidden,
    InputProblem naming what to mend.
    """
    unit.viewer.must_be("instructor")
    row = contests.contest(unit, contest_id, to_change=True)
    if row.person_id == unit.viewer.person_id:
        raise Forbidden("You cannot answer your own contest. Ask another instructor.")
    if row.answered_at is not None:
        return 0
    said = WORDS.read(words, "words", "Say why")
    if reach not in (ONE, ALIKE):
        raise InputProblem("This is neither this question nor all like it", "reach", "Choose one.")
    row.upheld, row.answer = upheld, said
    row.answered_by, row.answered_at = unit.viewer.person_id, now
    unit.session.flush()
    body: dict[str, Any] = {"contest": row.id, "sitting": row.sitting_id, "position": row.position}
    body |= {"upheld": upheld, "reach": reach if upheld else ""}
    log(unit, "contest.answered", body, now, person_id=row.person_id)
    return _withdraw(unit, bank, row, reach, issuing, now) if upheld else 0


def _withdraw(
    unit: Unit, bank: Bank, row: ContestRow, reach: str, issuing: Issuing, now: datetime
) -> int:
    places = [(row.sitting_id, row.position)]
    if reach == ALIKE:
        found = contests.item_of(unit, row.sitting_id, row.position)
        version = from_kept(found.kept).heading.bank_version
        places += [tuple(one) for one in contests.alike(unit, found.family, version)]
    for sitting_id, position in dict.fromkeys(places):
        contests.withdraw(unit, sitting_id, position)
    touched = list(dict.fromkeys(sitting_id for sitting_id, _ in places))
    for sitting_id in touched:
        sitting = contests.sitting_to_change(unit, sitting_id)
        _decide_again(unit, bank, sitting, row.answer, issuing, now)
    return len(touched)


def _decide_again(
    unit: Unit, bank: Bank, row: SittingRow, reason: str, issuing: Issuing, now: datetime
) -> None:
    """Decide on what is left. A pass stays a pass: the fault was not the learner's."""
    counted = [one for one in reviewed_of(unit, row.id) if not one.withdrawn]
    main = [one.difficulty for one in counted if one.phase == MAIN]
    passed_before = bool(row.passed)
    if main:
        first = contests.decisions(unit, row.id)[0]
        row.cut, row.most = cut_of_the_rest(row.outcome, main, first.cut, first.most), len(main)
        row.outcome = row.outcome | {"expected": expected_scores(main)}
        decision = settle(unit, bank, row, counted)
        row.passed = bool(row.passed) or passed_before
        log_decision(unit, row, decision, now)
    contests.keep_decision(unit, row, reason, now)
    if row.passed and not passed_before:
        certify.consider(unit, bank, row.person_id, row.organisation_id, row.method, issuing, now)


def _contest(unit: Unit, row: ContestRow) -> Contest:
    item = sittings.kept_item(unit, row.sitting_id, row.position)
    by = people.person(unit, row.answered_by).name if row.answered_by else ""
    return Contest(
        row.id,
        row.sitting_id,
        row.position,
        people.person(unit, row.person_id).name,
        item["method"],
        item["topic"],
        row.comment,
        row.sent_at,
        row.upheld,
        row.answer,
        by,
        row.answered_at,
    )
