"""A client who was stopped -> the news that would open the way again."""

from collections.abc import Mapping
from typing import Any

from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import RANK, verdict_of
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.people import Person, meeting, plain_profile
from trainer.core.scenarios.reasoning.offer_verdict import usable
from trainer.core.scenarios.story import cues, given_profile, hair_line, told_of

WISH = "wish"


def _stopping(bank: Bank, method: str, recipe: Recipe) -> list[Rule]:
    """Rules that put a fitting off and say what would change that."""
    return bank.once(("stopping", method, recipe.id), lambda: _stopping_of(bank, method, recipe))


def _stopping_of(bank: Bank, method: str, recipe: Recipe) -> list[Rule]:
    never = tuple(recipe.settings["no_way_back"])
    return [
        rule
        for rule in usable(bank, method)
        if RANK[rule.verdict] > RANK["adapt"] and not rule.change.startswith(never)
    ]


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether there are several different ways back."""
    return len({rule.change for rule in _stopping(bank, method, recipe)}) > 2 * 2


def work_out(case: Case) -> Sketch | None:
    """The way back from this finding, among ways back from others, and the client's own wish."""
    bank, rules = case.bank, _stopping(case.bank, case.method.id, case.recipe)
    rule = case.draw.one(rules)
    plain = plain_profile(bank, case.draw.branch("client"))
    profile = meeting(bank, case.draw.branch("rule"), plain, rule.when)
    if profile is None or verdict_of(bank, case.method.id, profile)[1] != (rule,):
        return None
    who = case.client(profile)
    shown = told_of(case, profile, [condition.attribute for condition in rule.when])
    if not shown:
        return None
    other = _elsewhere(rules, rule)
    if not list({one.change for one in other})[1:]:
        return None
    first, second = _two(case, other)
    wish = _wish(case, rule, who.words())
    offers = _offers(case, rule, (first, second), wish)
    return Sketch(offers, lambda: _draft(case, who, profile, rule, shown, offers))


def _draft(
    case: Case,
    who: Person,
    profile: Profile,
    rule: Rule,
    shown: list[str],
    offers: tuple[Offer, ...],
) -> Draft:
    story = " ".join([hair_line(case, who, profile), *cues(case, who, profile, shown)])
    return Draft(
        stem=case.say("stems", story=story, **who.words()),
        explanation=case.say("why", statement=rule.statement, change=rule.change),
        givens={
            "method": case.method.id,
            "profile": given_profile(profile),
            "news": {one.text: "" if one.tag == WISH else one.tag for one in offers},
        },
        facts=rule.facts,
        critical=rule.critical,
        features={"cues": float(len(shown)), "causes": 1.0, "closeness": 1.0},
        offers=offers,
    )


def _offers(case: Case, rule: Rule, others: tuple[Rule, ...], wish: str) -> tuple[Offer, ...]:
    belief, note = case.named_belief("elsewhere"), case.say("elsewhere")
    return (
        Offer(rule.change, True, rule.id),
        *(wrong(one.change, one.id, belief, note) for one in others),
        wrong(wish, WISH, case.named_belief("wish"), case.say("why_wish")),
    )


def _elsewhere(rules: list[Rule], rule: Rule) -> list[Rule]:
    """Rules about something else altogether: another kind, another attribute, another way back."""
    subject, kind = {c.attribute for c in rule.when}, rule.id.split(".")[0]
    return [
        one
        for one in rules
        if one.change != rule.change
        and (one.topic, one.id.split(".")[0]) != (rule.topic, kind)
        and not subject & {c.attribute for c in one.when}
        and not (rule.refer_to and one.refer_to)
    ]


def _wish(case: Case, rule: Rule, words: Mapping[str, Any]) -> str:
    """What is not enough: on this very sign where the recipe has it, else a wish."""
    near = [case.recipe.settings["not_enough"].get(c.attribute) for c in rule.when]
    known = [text for text in near if text]
    return known[0] if known else case.say("wish", **words)


def _two(case: Case, rules: list[Rule]) -> tuple[Rule, Rule]:
    shuffled = case.draw.branch("others").shuffled(rules)
    first = shuffled[0]
    return first, next(one for one in shuffled if one.change != first.change)
