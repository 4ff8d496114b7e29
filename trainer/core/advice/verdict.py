"""Run the rules: the highest verdict that any rule gives, with every reason."""

from dataclasses import dataclass

from trainer.core.advice.profile import Profile, all_hold
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Value
from trainer.core.knowledge.rule import Rule
from trainer.core.knowledge.words import VERDICTS, Verdict

RANK = {verdict: place for place, verdict in enumerate(VERDICTS)}


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a verdict was given, what to do now and what would change it."""

    rule: str
    verdict: Verdict
    statement: str
    do: str
    change: str
    facts: tuple[str, ...]
    critical: bool


def loose(bank: Bank, method: str, profile: Profile) -> bool:
    """Whether a method comes off between visits for this client (a piece without glue)."""
    when = bank.methods[method].loose_when
    return bool(when) and all_hold(bank, when, profile)


def speaks(bank: Bank, rule: Rule, profile: Profile) -> bool:
    """Whether a rule's conditions hold for this client."""
    if not all_hold(bank, rule.when, profile):
        return False
    return not rule.unless or not all_hold(bank, rule.unless, profile)


def verdict_of(bank: Bank, method: str, profile: Profile) -> tuple[Verdict, tuple[Rule, ...]]:
    """The verdict for one method and every rule that speaks, gravest first.

    Rules for bonded methods are silent where the method comes off between visits. Without any
    rule the verdict is go_ahead. Raises KeyError for an unknown method.
    """
    comes_off, values = loose(bank, method, profile), profile.values
    there = bank.once(("by cue", method, comes_off), lambda: _by_cue(bank, method, comes_off))
    spoken = [
        rule
        for attribute, cue, rule in there
        if (cue is None or values.get(attribute) == cue) and speaks(bank, rule, profile)
    ]
    spoken.sort(key=lambda rule: (-RANK[rule.verdict], rule.id))
    return (spoken[0].verdict if spoken else "go_ahead"), tuple(spoken)


def _by_cue(bank: Bank, method: str, comes_off: bool) -> tuple[tuple[str, Value | None, Rule], ...]:
    """Each rule with the attribute of its first condition and the value that it must have.

    The value is None where the condition asks otherwise. Most rules are out by this alone.
    """
    firsts = ((rule.when[0], rule) for rule in bank.rules_of(method, comes_off))
    return tuple((first.attribute, first.is_, rule) for first, rule in firsts)


def reason(rule: Rule) -> Reason:
    """A rule that spoke, as a reason."""
    return Reason(
        rule.id, rule.verdict, rule.statement, rule.do, rule.change, rule.facts, rule.critical
    )
