"""The key of a consultation: verdicts by the rules, what had to be found, and the plan."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property
from math import ceil
from typing import Any, NamedTuple

from trainer.core.advice.grams import grams
from trainer.core.advice.plan import plan
from trainer.core.advice.profile import Profile, holds
from trainer.core.advice.verdict import RANK, loose, speaks, verdict_of
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Value
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.knowledge.rule import Rule
from trainer.core.knowledge.words import Verdict
from trainer.core.scenarios.consultation.client import RESULT, TESTED

MAY: tuple[Verdict, ...] = ("go_ahead", "adapt")
STOPS: tuple[Verdict, ...] = ("refer", "decline")


@dataclass(frozen=True, slots=True)
class Salon:
    """What a consultation offers: methods (the booked one first), the day, days of work (1..7)."""

    methods: tuple[str, ...]
    today: date
    open_weekdays: tuple[int, ...]

    def first_open(self, day: date) -> date:
        """The first day of work from a day on."""
        while day.isoweekday() not in self.open_weekdays:
            day += timedelta(days=1)
        return day


@dataclass(frozen=True)
class Ruled:
    """One method judged. `untested`, `tested`: its verdict before and after a skin test is read."""

    method: str
    verdict: Verdict
    rules: tuple[Rule, ...]
    untested: Verdict
    tested: Verdict
    needs_test: bool

    @cached_property
    def deciding(self) -> tuple[Rule, ...]:
        """The rules that give the verdict."""
        return tuple(rule for rule in self.rules if rule.verdict == self.verdict)


@dataclass
class Entry:
    """One thing to find out: any of `steps` finds it; none where it can be seen from the start."""

    attributes: list[str]
    steps: tuple[str, ...]
    found: bool
    critical: bool
    methods: list[str] = field(default_factory=list)
    rules: list[str] = field(default_factory=list)


def judge(bank: Bank, method: str, before: Profile, after: Profile) -> Ruled:
    """A method for a client `before` and `after` a skin test is read."""
    untested, early = verdict_of(bank, method, before)
    late = verdict_of(bank, method, after)
    waits = [rule for rule in early if rule.wait and rule.wait.attribute == TESTED]
    grave = [r for r in early if r not in waits and RANK[r.verdict] >= RANK["wait"]]
    needs = bool(waits) and not grave
    verdict, rules = late if needs else (untested, early)
    rules = tuple(rule for rule in rules if rule not in waits)
    return Ruled(method, verdict, rules, untested, late[0], needs)


def one_answer(ruled: Sequence[Ruled]) -> bool:
    """Whether each verdict can be defended alone: no method both referred and declined, and no
    hidden reaction that a method without a skin test would have met."""
    for one in ruled:
        if {"refer", "decline"} <= {rule.verdict for rule in one.rules}:
            return False
        if not one.needs_test and RANK[one.tested] > RANK[one.verdict]:
            return False
    return True


def entries(
    bank: Bank, ruled: Sequence[Ruled], after: Profile, known: Iterable[str]
) -> list[Entry]:
    """Everything that has to be found out, each with the steps that find it.

    For a verdict: what its deciding rules rest on (one of them is enough to refer or decline).
    Where something may still be attached: what shows that no graver rule speaks.
    """
    seen, made = set(known), []
    silent = _silent(bank, ruled, after, seen)
    for one in ruled:
        made += _deciding(bank, one, after, seen)
        made += _ruled_out(one, silent)
    return _merged(made)


def _deciding(bank: Bank, one: Ruled, after: Profile, seen: set[str]) -> list[Entry]:
    rules = one.deciding
    if one.verdict in STOPS:
        names = list(dict.fromkeys(c.attribute for rule in rules for c in rule.when))
        return [_entry(bank, one, rules, names, seen, after)]
    return [
        _entry(bank, one, (rule,), [condition.attribute], seen, after)
        for rule in rules
        for condition in rule.when
    ]


def _entry(
    bank: Bank, one: Ruled, rules: Sequence[Rule], names: list[str], seen: set[str], after: Profile
) -> Entry:
    steps = _showing(bank, [name for name in names if name not in seen], after)
    critical = any(rule.critical for rule in rules)
    return Entry(names, steps, True, critical, [one.method], [rule.id for rule in rules])


class Silent(NamedTuple):
    """A rule that does not speak: on what its silence rests, and the steps that show it."""

    rule: Rule
    attributes: tuple[str, ...]
    steps: tuple[str, ...]


def _silent(
    bank: Bank, ruled: Sequence[Ruled], after: Profile, seen: set[str]
) -> dict[str, tuple[Silent, ...]]:
    """Method -> the graver rules that do not speak, where something may still be attached.

    Left out are those whose silence is plain from the start, and those on an unread skin test.
    """
    asked = {
        one.method: _graver(bank, one.method, loose(bank, one.method, after), one.verdict)
        for one in ruled
        if one.verdict not in STOPS
    }
    rules = {rule.id: rule for there in asked.values() for rule in there}
    found = {name: _why_silent(bank, rule, after, seen) for name, rule in rules.items()}
    return {
        method: tuple(one for rule in there if (one := found[rule.id]) is not None)
        for method, there in asked.items()
    }


def _why_silent(bank: Bank, rule: Rule, after: Profile, seen: set[str]) -> Silent | None:
    false = [c.attribute for c in rule.when if not holds(bank, c, after)]
    speaking = not false and speaks(bank, rule, after)
    if speaking or TESTED in false or not seen.isdisjoint(false):
        return None
    names = tuple(dict.fromkeys(false))
    return Silent(rule, names, _showing(bank, names, after))


def _ruled_out(one: Ruled, silent: Mapping[str, Sequence[Silent]]) -> list[Entry]:
    """What the same steps rule out is one thing to find."""
    by_steps: dict[tuple[str, ...], list[Silent]] = {}
    for why in silent.get(one.method, ()):
        if one.needs_test or RESULT not in why.attributes:
            by_steps.setdefault(why.steps, []).append(why)
    return [
        Entry(
            list(dict.fromkeys(name for why in there for name in why.attributes)),
            steps,
            False,
            any(why.rule.critical for why in there),
            [one.method],
            [why.rule.id for why in there],
        )
        for steps, there in by_steps.items()
    ]


def _graver(bank: Bank, method: str, comes_off: bool, verdict: Verdict) -> tuple[Rule, ...]:
    """The rules on a method that would give a graver verdict."""
    return bank.once(
        ("graver", method, comes_off, verdict),
        lambda: tuple(
            rule for rule in bank.rules_of(method, comes_off) if RANK[rule.verdict] > RANK[verdict]
        ),
    )


def _showing(bank: Bank, names: Sequence[str], profile: Profile) -> tuple[str, ...]:
    """The steps that bring at least one of these attributes to light."""
    by_name = [_showing_one(bank, name, profile.get(name)) for name in names]
    if len(by_name) == 1:
        return by_name[0]
    return tuple(step for step in bank.consultation_steps if any(step in one for one in by_name))


def _showing_one(bank: Bank, name: str, value: Value | None) -> tuple[str, ...]:
    steps = bank.consultation_steps.values()
    return bank.once(
        ("steps that show", name, value),
        lambda: tuple(step.id for step in steps if step.shows(name, value)),
    )


def _merged(made: list[Entry]) -> list[Entry]:
    """Entries that the same steps satisfy, together; what was found apart from what was not."""
    by_steps: dict[tuple[bool, tuple[str, ...]], Entry] = {}
    for entry in made:
        there = by_steps.setdefault((entry.found, entry.steps), entry)
        if there is entry:
            continue
        there.critical |= entry.critical
        for name in ("attributes", "methods", "rules"):
            mine, more = getattr(there, name), getattr(entry, name)
            mine += [one for one in more if one not in mine]
    return list(by_steps.values())


def plans(
    bank: Bank, salon: Salon, ruled: Sequence[Ruled], profile: Profile
) -> dict[str, Any] | None:
    """The plan for what was booked if it may be fitted, else for what may be offered instead.

    With more than one other way the rest stand under 'or'. None where nothing may be attached.
    """
    booked, *others = ruled
    fit = [booked] if booked.verdict in MAY else [one for one in others if one.verdict in MAY]
    made = [_plan(bank, salon, one, profile) for one in fit]
    return {**made[0], "or": made[1:]} if made else None


def _plan(bank: Bank, salon: Salon, one: Ruled, profile: Profile) -> dict[str, Any]:
    day = salon.today + timedelta(days=wait_days(bank) if one.needs_test else 0)
    earliest = salon.first_open(day)
    low, high = grams(bank, profile, one.rules)
    dates: Mapping[str, date] = plan(bank, one.method, profile, earliest).dates
    fact = bank.role(one.method, "move_up")
    keyed = fact is not None and fact.may_key and "move up from" in dates
    return {
        "method": one.method,
        "grams": {"low": low, "high": high},
        "earliest": earliest.isoformat(),
        "return_from": dates["move up from"].isoformat() if keyed else None,
        "return_until": dates["move up by"].isoformat() if keyed else None,
    }


def wait_days(bank: Bank) -> int:
    """Whole days that a skin test takes before it is read."""
    fact = bank.facts["skin_test.safer"]
    return ceil((fact.high or 0) * DAYS_IN[fact.unit])
