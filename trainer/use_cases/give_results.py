"""Give an organisation's results out as a table: where everybody stands, decisions, records."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.core.exchange.results_table import Decided, Held, Result, results_csv
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.ability import band
from trainer.store import competencies, people, records, rosters, sittings, standings
from trainer.store.competencies import WHOLE
from trainer.store.rosters import PERSON
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.keep_standing import words_on
from trainer.use_cases.know_competency import Known, known_of
from trainer.use_cases.know_standard import abilities_needed
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import REVIEWERS

UNKNOWN = "unknown"
WORDS = {"above": "above", "near": "close", "below": "below", UNKNOWN: "not known yet"}


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which results: '' for every method or group; `topics`: a line for each topic too."""

    method: str = ""
    group: str = ""
    topics: bool = True


def give(unit: Unit, bank: Bank, wanted: Wanted, now: datetime) -> str:
    """The table of the viewer's organisation; who took it out stands in the log.

    How many answers were right is told only to whoever trains. Raises Forbidden, NotFound,
    InputProblem.
    """
    unit.viewer.must_be(*REVIEWERS)
    if wanted.method and wanted.method not in bank.methods:
        raise InputProblem("is no method", "method", f"Use one of {', '.join(bank.methods)}.")
    rows = _results(unit, bank, wanted, now)
    said = {"lines": len(rows), "method": wanted.method, "group": wanted.group}
    log(unit, "results.given", said, now)
    return results_csv(rows)


def _results(unit: Unit, bank: Bank, wanted: Wanted, now: datetime) -> list[Result]:
    chosen = _people(unit, wanted.group)
    ids = [row.id for row in chosen]
    links = rosters.links(unit, unit.viewer.organisation_id)
    source = {row.person_id: row.source_id for row in links if row.kind == PERSON and row.is_open}
    facts = _Facts(unit, bank, ids, now)
    return [
        facts.line(row, source.get(row.id, row.id), method, topic, unit.viewer.is_a("instructor"))
        for row in chosen
        for method in bank.methods
        if wanted.method in ("", method)
        for topic in facts.topics(row.id, method, wanted.topics)
    ]


def _people(unit: Unit, group_id: str) -> list[people.PersonRow]:
    """The organisation's people by name, or those of a group. Raises NotFound."""
    members = [row for row, _ in people.members(unit)]
    if not group_id:
        return members
    group = people.group(unit, group_id)
    inside = {row.id for row in people.group_members(unit, group.id)}
    return [row for row in members if row.id in inside]


class _Facts:
    """Everything that lines are made of, read once for everybody."""

    def __init__(self, unit: Unit, bank: Bank, ids: Sequence[str], now: datetime) -> None:
        self._needed = abilities_needed(unit, bank)
        self._known: dict[tuple[str, str], dict[str, Known]] = {}
        for row in competencies.of_people(unit, ids):
            if row.n:
                self._known.setdefault((row.person_id, row.method), {})[row.topic] = known_of(row)
        self._standings: dict[tuple[str, str], dict[str, str]] = {}
        words = words_on(standings.of_people(unit, ids), now.date())
        for (person, method, service), found in words.items():
            self._standings.setdefault((person, method), {})[service] = found.word
        self._held: dict[tuple[str, str], Held] = {}
        for one in records.held_by(unit, ids):
            self._held.setdefault((one.person_id, one.method), _held(one, now))
        self._decided = _decided(sittings.decided(unit, ids))

    def topics(self, person: str, method: str, every: bool) -> list[str]:
        """The lines of a person and method: the whole first; none where nothing is known."""
        key = (person, method)
        known = self._known.get(key, {})
        if not known and key not in self._held and key not in self._decided:
            return []
        return [WHOLE, *sorted(topic for topic in known if topic != WHOLE and every)]

    def line(
        self, row: people.PersonRow, source: str, method: str, topic: str, trains: bool
    ) -> Result:
        """One line of the table."""
        key, whole = (row.id, method), topic == WHOLE
        known = self._known.get(key, {}).get(topic, Known())
        against = band(known.ability, self._needed[method]) if known.n else UNKNOWN
        return Result(
            source,
            row.name,
            row.email,
            method,
            topic,
            WORDS[against],
            known.n,
            known.right if trains else None,
            known.updated_at,
            self._standings.get(key, {}) if whole else {},
            self._decided.get(key) if whole else None,
            self._held.get(key) if whole else None,
        )


def _held(row: Found, now: datetime) -> Held:
    ended = row.state == "in_force" and row.valid_until < now
    return Held(
        row.id,
        "expired" if ended else row.state.replace("_", " "),
        tuple(row.services),
        row.valid_from,
        row.valid_until,
    )


def _decided(rows: Sequence[sittings.SittingRow]) -> Mapping[tuple[str, str], Decided]:
    """The latest decision of each person and method; `rows` come newest first."""
    found: dict[tuple[str, str], Decided] = {}
    for row in rows:
        if row.passed is not None and row.finished_at is not None:
            one = Decided(row.passed, row.finished_at, row.confidence)
            found.setdefault((row.person_id, row.method), one)
    return found
