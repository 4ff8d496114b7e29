"""Answer the salon: may this person do this service with this method on this day?"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.marking.feedback import FactLine, fact_line
from trainer.core.problems import InputProblem, NotFound
from trainer.core.records.clearance import Clearance, Question
from trainer.core.records.house_rules import HouseRules
from trainer.store import team
from trainer.store.team import Wanted
from trainer.store.unit import Unit
from trainer.use_cases.certify import Needed, needed
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.tell_apart import tell_apart
from trainer.use_cases.weigh_clearance import Kept, read_kept

ENOUGH = 12
"""Others who may do it: so many are told."""
LOOKED_AT = 40
"""So many who are likely to be cleared are looked at first, by name; then ever more."""
GROWTH = 4
SHOWN = 60
"""People that a list at the desk shows."""
LONGEST = 60


@dataclass(frozen=True, slots=True)
class Ask:
    """One question: ids of person and method, the service, the day.

    `urgent`: a removal that cannot wait; only with the service 'remove'.
    """

    person_id: str
    method: str
    service: str
    on: date
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class Answered:
    """A question with its answer, and what the person is called."""

    ask: Ask
    person: str
    clearance: Clearance


@dataclass(frozen=True)
class Cleared:
    """The question as it was understood and its answer.

    `needed`: what a new record takes from this person, where they are not cleared or may renew.
    `rules` are the house's for the method; `supervised` the clients done under supervision here.
    """

    person_id: str
    person: str
    method_id: str
    method: str
    service: str
    on: date
    urgent: bool
    clearance: Clearance
    needed: Needed | None
    rules: HouseRules
    supervised: int


def answer_many(
    unit: Unit, bank: Bank, asks: Sequence[Ask], grace_days: int
) -> tuple[Answered, ...]:
    """Answer many questions about members of the viewer's organisation, in their order.

    Nine SQL statements at most, however many questions, people and days there are. `grace_days` is
    the site's setting. Each `Answered` has the ask itself, the person's name and the `Clearance`:
    `answer` ('cleared', 'supervised_only', 'not_cleared'), `reasons` (each with `ground`, a word
    for programs, `said`, `would_change_it`) and `reminder`, which always goes with it.

    Raises
    ------
    Forbidden : If the viewer may not ask.
    NotFound : If anybody asked about does not belong to the viewer's organisation.
    InputProblem : If a method or service is not known, or something else than a removal is urgent;
        it names the field.
    """
    unit.viewer.must_be(*ASKERS)
    for ask in asks:
        _check(bank, ask)
    person_ids = sorted({ask.person_id for ask in asks})
    names = team.names(unit, person_ids)
    if len(names) < len(person_ids):
        raise NotFound
    methods = sorted({ask.method for ask in asks})
    kept = read_kept(unit, bank, person_ids, grace_days, methods=methods)
    return tuple(Answered(ask, names[ask.person_id], _weigh(kept, names, ask)) for ask in asks)


def answer(unit: Unit, bank: Bank, ask: Ask, grace_days: int) -> Cleared:
    """Answer one question in full: with the house's rules and what a record would take.

    Raises as `answer_many` does.
    """
    unit.viewer.must_be(*ASKERS)
    _check(bank, ask)
    names = team.names(unit, [ask.person_id])
    if not names:
        raise NotFound
    kept = read_kept(unit, bank, [ask.person_id], grace_days, methods=[ask.method])
    found = _weigh(kept, names, ask)
    return Cleared(
        ask.person_id,
        names[ask.person_id],
        ask.method,
        bank.methods[ask.method].name,
        ask.service,
        ask.on,
        ask.urgent,
        found,
        _needed(unit, bank, kept, ask),
        kept.rules[ask.method],
        kept.supervised.get((ask.person_id, ask.method, ask.service), 0),
    )


def everything(
    unit: Unit, bank: Bank, person_id: str, on: date, grace_days: int
) -> tuple[Answered, ...]:
    """Every method and service of one person on a day: what the desk shows after one tap."""
    asks = [Ask(person_id, m, s, on) for m in bank.methods for s in SERVICES]
    return answer_many(unit, bank, asks, grace_days)


def who_is_cleared(unit: Unit, bank: Bank, ask: Ask, grace_days: int) -> Sequence[tuple[str, str]]:
    """Who of the house is cleared for what was asked, but for the one asked about: (id, name).

    By name, without those who do not work on that day of the week; at most a dozen are told.
    """
    unit.viewer.must_be(*ASKERS)
    cleared: list[tuple[str, str]] = []
    after, size = None, LOOKED_AT
    while len(cleared) < ENOUGH:
        rows = team.likely(unit, ask.method, ask.service, ask.on, after, size)
        names = {row.id: row.name for row in rows if row.id != ask.person_id}
        kept = read_kept(unit, bank, list(names), grace_days, methods=[ask.method])
        asks = [replace(ask, person_id=one) for one in names]
        answers = [_weigh(kept, names, one).answer for one in asks]
        cleared += [
            one for one, told in zip(names.items(), answers, strict=True) if told == "cleared"
        ]
        if len(rows) < size:
            break
        after, size = (rows[-1].name, rows[-1].id), size * GROWTH
    return tell_apart(unit, cleared[:ENOUGH])


def emergency_lines(bank: Bank, method: str) -> tuple[Sequence[FactLine], Sequence[FactLine]]:
    """For a removal that cannot wait: what comes before it, and what it keeps to, with sources."""
    rule = bank.emergency_removal_of(method)
    if rule is None:
        return (), ()
    first = [fact_line(bank, bank.facts[name], method) for name in rule.first]
    return first, [fact_line(bank, bank.facts[name], method) for name in rule.facts]


def find(unit: Unit, letters: str, count: int = SHOWN) -> tuple[Sequence[tuple[str, str]], bool]:
    """Whom may be asked about, by name: (id, name); and whether there are more.

    `letters`: what a part of the name begins with; '' for anybody.
    """
    unit.viewer.must_be(*ASKERS)
    wanted = Wanted(date.min, letters=letters.strip()[:LONGEST])
    rows = team.page(unit, wanted, None, count + 1)
    found = [(one.id, one.name) for one in rows[:count]]
    return tell_apart(unit, found), len(rows) > count


def _check(bank: Bank, ask: Ask) -> None:
    if ask.method not in bank.methods:
        raise InputProblem("This method is not known", "method", "Choose one of the list.")
    if ask.service not in SERVICES:
        raise InputProblem("This service is not known", "service", "Choose one of the list.")
    if ask.urgent and ask.service != "remove":
        raise InputProblem(
            "Only a removal cannot wait", "urgent", "Ask about remove, or leave it out."
        )


def _weigh(kept: Kept, names: Mapping[str, str], ask: Ask) -> Clearance:
    named = kept.bank.methods[ask.method].name
    question = Question(names[ask.person_id], named, ask.service, ask.on, ask.urgent)
    return kept.clearance(ask.person_id, question, ask.method)


def _needed(unit: Unit, bank: Bank, kept: Kept, ask: Ask) -> Needed | None:
    standing = kept.standing(ask.person_id, ask.method, ask.service, ask.on)
    window = timedelta(days=bank.methods[ask.method].scheme.renew_days)
    lasts = standing.day is not None and standing.day > ask.on + window
    if standing.word == "competent" and lasts:
        return None
    at = datetime.combine(ask.on, time(12, tzinfo=UTC))
    return needed(unit, bank, ask.person_id, ask.method, at)
