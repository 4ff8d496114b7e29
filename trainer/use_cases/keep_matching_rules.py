"""Keep what a salon says its bookings' words mean, and forget it again."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.core.bookings.matching import MOST_WORDS, Kind, Rule, words_of
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.store import matching_rules, people
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS

MOST_RULES = 500
LONGEST = 80
WHERE = "words"


@dataclass(frozen=True)
class Meaning:
    """What words are said to mean: `kind` work or person; see `Rule` for what '' says."""

    words: str
    kind: Kind
    method: str = ""
    service: str = ""
    person: str = ""


def rules(unit: Unit) -> Sequence[Rule]:
    """The rules of the viewer's organisation, those about work first. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return [_rule(row) for row in matching_rules.of_place(unit)]


def confirm(unit: Unit, bank: Bank, meaning: Meaning, now: datetime) -> None:
    """Keep a rule; one for the same words is put right. Raises InputProblem, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    words = words_of(meaning.words)
    if not words or len(words) > MOST_WORDS or len(meaning.words) > LONGEST:
        remedy = f"Give 1 to {MOST_WORDS} words that stand in the booking."
        raise InputProblem("These words cannot be a rule", WHERE, remedy)
    _must_be_known(unit, bank, meaning)
    before = matching_rules.by_words(unit, meaning.kind, " ".join(words))
    if before is None and len(matching_rules.of_place(unit)) >= MOST_RULES:
        raise InputProblem(f"There are {MOST_RULES} rules already", WHERE, "Delete old ones first.")
    row = before or matching_rules.MatchingRuleRow(
        organisation_id=unit.viewer.organisation_id, kind=meaning.kind, words=" ".join(words)
    )
    row.method, row.service = meaning.method, meaning.service
    row.person_id = meaning.person or None
    row.made_by, row.made_at = unit.viewer.person_id, now
    matching_rules.keep(unit, row)


def forget(unit: Unit, rule_id: str) -> None:
    """Delete a rule. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    matching_rules.remove(unit, rule_id)


def _must_be_known(unit: Unit, bank: Bank, meaning: Meaning) -> None:
    if meaning.kind == "person":
        if meaning.person:
            people.member(unit, meaning.person)
        return
    nothing = not meaning.method and not meaning.service
    if not nothing and (meaning.method not in bank.methods or meaning.service not in SERVICES):
        remedy = "Choose both, or say that nothing is to be checked."
        raise InputProblem(f"'{meaning.words}' has no method or no service", "service", remedy)


def _rule(row: Found) -> Rule:
    words = tuple(row.words.split())
    kind: Kind = "person" if row.kind == "person" else "work"
    return Rule(row.id, kind, words, row.method, row.service, row.person_id or "")
