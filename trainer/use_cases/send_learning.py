"""Send statements to the store that an organisation has named, when the machine is told to.

First everything new is put down here, each statement once; then it is sent in portions, oldest
first. What was not acknowledged is sent again later: the store knows a statement by its id. A
portion that is refused is sent one by one, and what is refused alone is put aside with the words.
"""

import json
from base64 import b64encode
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from trainer.core.exchange.xapi import VERSION
from trainer.store import outgoing_statements
from trainer.store.outgoing_statements import OutgoingStatementRow, StatementTargetRow
from trainer.store.unit import Unit, Viewer
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.set_learning_target import secret_of
from trainer.use_cases.tell_learning import home_of, tell, teller
from trainer.use_cases.work import Work

PORTION = 50
LARGEST = 400_000  # bytes of a portion
MOST_PORTIONS = 200  # of one run
OVERLAP = timedelta(minutes=15)
"""Told again each time: what committed late is not missed, and nothing is put down twice."""
FIRST_WAIT, LONGEST_WAIT = timedelta(minutes=1), timedelta(hours=6)
ONE_BY_ONE = (400, 409, 413, 422)
Send = Callable[[str, bytes, Mapping[str, str]], int]
"""(address, body, headers) -> status. Raises InputProblem where nobody answers."""


@dataclass(frozen=True, slots=True)
class Sent:
    """What one run did for an organisation; `said` is '' when all went well."""

    organisation: str
    sent: int
    refused: int
    waiting: int
    said: str


@dataclass(frozen=True, slots=True)
class _To:
    """Where to, and as whom."""

    send: Send
    address: str
    headers: Mapping[str, str]


def send_all(work: Work, keys: Path, base_url: str, send: Send, now: datetime) -> Sequence[Sent]:
    """Tell what is new and send what waits, for every organisation whose sending is on."""
    with work.reading() as unit:
        places = outgoing_statements.targets_on(unit)
    return [_for_one(work, keys, base_url, send, place, now) for place in places]


def _for_one(work: Work, keys: Path, base_url: str, send: Send, place: str, now: datetime) -> Sent:
    with work.reading() as unit:
        viewer = teller(unit, place)
    with work.writing(viewer) as unit:
        target = _target(unit)
        _put_down(unit, target, base_url, now)
        waits = target.next_try_at is not None and target.next_try_at > now
        said = target.said
        to = _To(send, f"{target.address}/statements", _headers(target.name, keys, place))
    sent = refused = 0
    if not waits:
        sent, refused, said = _send_waiting(work, viewer, to, now)
    with work.writing(viewer) as unit:
        if not waits:
            _settle(_target(unit), sent, said, now)
        waiting, _ = outgoing_statements.counted(unit)
    return Sent(place, sent, refused, waiting, said)


def _send_waiting(work: Work, viewer: Viewer, to: _To, now: datetime) -> tuple[int, int, str]:
    """(sent, refused, why it stopped: '' when nothing waits any more or enough was sent)."""
    sent = refused = 0
    for _ in range(MOST_PORTIONS):
        with work.reading(viewer) as unit:
            rows = _portion(outgoing_statements.waiting(unit, PORTION))
        if not rows:
            break
        good, bad, said = _deliver(to, rows)
        with work.writing(viewer) as unit:
            outgoing_statements.note(unit, good, bad, now)
        sent, refused = sent + len(good), refused + len(bad)
        if said:
            return sent, refused, said
    return sent, refused, ""


def _put_down(unit: Unit, target: StatementTargetRow, base_url: str, now: datetime) -> None:
    home = home_of(unit, base_url)
    outgoing_statements.put_down(unit, tell(unit, home, target.told_until - OVERLAP, now))
    target.told_until = now


def _deliver(
    to: _To, rows: Sequence[OutgoingStatementRow]
) -> tuple[list[str], dict[str, str], str]:
    """(ids that were taken, {id: why it was refused}, why to stop)."""
    status, said = _try(to, rows)
    if not said:
        return [row.id for row in rows], {}, ""
    if status not in ONE_BY_ONE:
        return [], {}, said
    if len(rows) == 1:
        return [], {rows[0].id: said}, ""
    good: list[str] = []
    bad: dict[str, str] = {}
    for row in rows:
        taken, refused, stop = _deliver(to, [row])
        good, bad = good + taken, bad | refused
        if stop:
            return good, bad, stop
    return good, bad, ""


def _try(to: _To, rows: Sequence[OutgoingStatementRow]) -> tuple[int, str]:
    body = json.dumps([row.statement for row in rows], ensure_ascii=False).encode()
    try:
        status = to.send(to.address, body, to.headers)
    except InputProblem as problem:
        return 0, problem.what
    good = 200 <= status < 300
    return status, "" if good else f"The store answered with {status}"


def _portion(rows: Sequence[OutgoingStatementRow]) -> Sequence[OutgoingStatementRow]:
    size, taken = 0, list[OutgoingStatementRow]()
    for row in rows:
        size += len(json.dumps(row.statement))
        if taken and size > LARGEST:
            break
        taken.append(row)
    return taken


def _settle(target: StatementTargetRow, sent: int, said: str, now: datetime) -> None:
    if sent:
        target.sent_at = now
    if not said:
        target.failures, target.said, target.next_try_at = 0, "", None
        return
    wait = min(FIRST_WAIT * 2 ** min(target.failures, 20), LONGEST_WAIT)
    target.failures, target.said, target.next_try_at = target.failures + 1, said, now + wait


def _headers(name: str, keys: Path, place: str) -> Mapping[str, str]:
    known = b64encode(f"{name}:{secret_of(keys, place)}".encode()).decode()
    return {
        "Authorization": f"Basic {known}",
        "Content-Type": "application/json",
        "X-Experience-API-Version": VERSION,
    }


def _target(unit: Unit) -> StatementTargetRow:
    found = outgoing_statements.target(unit)
    if found is None:
        raise InputProblem("has named no store", "organisation", "Name one first.")
    return found
