"""Note which bank the site uses, and each safety fact that is not as the site last knew it."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import asdict
from datetime import datetime, timedelta
from typing import Any

from trainer.core.draw import Draw
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.change import Change, Taught, compare
from trainer.core.knowledge.quantity import said
from trainer.core.marking.feedback import fact_line
from trainer.core.scenarios.family import Family, families
from trainer.core.scenarios.generate import generate
from trainer.store import fact_changes, top_ups
from trainer.store.fact_changes import FactChangeRow
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.practise import CONSULTATION, SEEDS
from trainer.use_cases.work import Work

TRIED = 24
"""Questions made with each family, to see which rest on a fact: half a second for 1,000."""
AT_LEAST = timedelta(days=14)


def note(work: Work, bank: Bank, now: datetime) -> int:
    """Compare the facts in use with those of last time; gives how many safety facts changed.

    The first time nothing has changed. Where several processes start at once, one of them notes it.
    """
    with work.reading() as unit:
        last = fact_changes.last_use(unit)
    if last is not None and last.version == bank.version:
        return 0
    facts = taught(bank)
    before = {} if last is None else {name: Taught(**one) for name, one in last.facts.items()}
    changes = compare(before, facts) if last else ()
    found = [one for one in changes if one.critical]
    leaning = lean_on(bank, {one.fact.id for one in found if one.after}, families(bank))
    number = last.number + 1 if last else 1
    kept = {name: asdict(one) for name, one in facts.items()}
    with work.writing() as unit:
        use = {"number": number, "version": bank.version, "at": now, "facts": kept}
        if not fact_changes.begin_use(unit, use):
            return 0
        for one in found:
            families_ = leaning.get(one.fact.id, {})
            row = _row(bank, one, last.version if last else "", families_, now)
            _keep(unit, row, one.new_meaning, now)
    return len(found)


def taught(bank: Bank) -> dict[str, Taught]:
    """Every fact of a bank as a learner meets it, by id."""
    return {fact.id: _taught(bank, fact.id) for fact in bank.facts.values()}


def lean_on(
    bank: Bank, facts: Collection[str], among: Sequence[Family]
) -> Mapping[str, Mapping[str, list[int]]]:
    """Fact -> family -> [how many of `TRIED` questions rest on it, how many a top-up may ask].

    Which facts a question rests on is settled when it is made, so it is found by making some. No
    top-up asks a consultation: it takes too long.
    """
    found: dict[str, dict[str, list[int]]] = {name: {} for name in facts}
    for family in among if facts else ():
        draw = Draw("which facts", family.id, bank.version)
        short = family.recipe.type != CONSULTATION
        for _ in range(TRIED):
            item = generate(bank, family.id, draw.below(SEEDS))
            for name in set(item.facts) & found.keys():
                counts = found[name].setdefault(family.id, [0, 0])
                counts[0] += 1
                counts[1] += short
    return found


def _taught(bank: Bank, name: str) -> Taught:
    fact, line = bank.facts[name], fact_line(bank, bank.facts[name])
    rests_on = ": ".join(filter(None, (line.status_words, line.source_words)))
    return Taught(
        fact.id,
        fact.method,
        fact.service,
        fact.topic,
        said(fact),
        fact.critical,
        fact.low,
        fact.high,
        fact.unit,
        rests_on,
    )


def _row(
    bank: Bank, one: Change, old_version: str, leaning: Mapping[str, list[int]], now: datetime
) -> FactChangeRow:
    fact = one.fact
    return FactChangeRow(
        fact=fact.id,
        kind=one.kind,
        before=asdict(one.before) if one.before else None,
        after=asdict(one.after) if one.after else None,
        old_version=old_version,
        new_version=bank.version,
        at=now,
        asks_again=one.asks_again,
        methods=[method for method in bank.methods if bank.covers((fact.method,), method)],
        service=fact.service,
        families=dict(leaning),
        tried=TRIED,
    )


def _keep(unit: Unit, row: FactChangeRow, new_meaning: bool, now: datetime) -> None:
    """Keep a change. Where the fact had changed before, what houses asked then goes on with it.

    Else somebody would be taught words that have changed again. Whoever had finished is asked once
    more, and gets `AT_LEAST` for it, so that no house is held back from one hour to the next. A new
    source alone leaves all as it is.
    """
    before = fact_changes.overtake(unit, row.fact, now) if new_meaning else ()
    fact_changes.keep(unit, row)
    if row.asks_again and row.askable:
        top_ups.carry_over(unit, before, row.id, (now + AT_LEAST).date())
    body: dict[str, Any] = {
        "change": row.id,
        "fact": row.fact,
        "what": row.kind,
        "before": row.before and row.before["said"],
        "after": row.after and row.after["said"],
        "old_version": row.old_version,
        "new_version": row.new_version,
        "asks_again": row.asks_again,
        "overtakes": list(before),
    }
    log(unit, "fact.changed", body, now)
