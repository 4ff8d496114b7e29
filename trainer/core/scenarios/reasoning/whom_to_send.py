"""What was found -> whose word is needed before the work goes on. Keyed by the rules."""

from collections.abc import Mapping
from typing import Any

from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import verdict_of
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.people import Person, meeting, plain_profile
from trainer.core.scenarios.reasoning.offer_verdict import usable
from trainer.core.scenarios.story import cues, given_profile, hair_line, idle_details, told_of

NOBODY = "nobody"
FEWEST = 1 + 2
MOST_WEIGHT = 2 + 2
"""So that one who is named by a single rule does not bring that case again and again."""


def _by_target(bank: Bank, method: str, settings: Mapping[str, Any]) -> dict[str, list[Rule]]:
    """Whose word -> rules of the method that ask for it; 'nobody': rules that only adapt."""
    found: dict[str, list[Rule]] = {}
    for rule in usable(bank, method):
        if rule.refer_to:
            found.setdefault(rule.refer_to, []).append(rule)
        elif rule.verdict == "adapt" and rule.when[0].attribute not in settings["look_first"]:
            found.setdefault(NOBODY, []).append(rule)
    return found


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether at least three different people are asked about this method."""
    return len(_by_target(bank, method, recipe.settings)) >= FEWEST


def work_out(case: Case) -> Sketch | None:
    """A target first, then a rule: many rules that name a doctor make it no sure guess."""
    targets = _by_target(case.bank, case.method.id, case.recipe.settings)
    names = sorted(targets)
    target = case.draw.weighted(names, [min(len(targets[name]), MOST_WEIGHT) for name in names])
    rule = case.draw.branch("rule").one(targets[target])
    plain = plain_profile(case.bank, case.draw.branch("client"))
    profile = meeting(case.bank, case.draw.branch("profile"), plain, rule.when)
    if profile is None or verdict_of(case.bank, case.method.id, profile)[1] != (rule,):
        return None
    who = case.client(profile)
    shown = told_of(case, profile, [condition.attribute for condition in rule.when])
    if not shown:
        return None
    others = [one for one in case.recipe.settings["targets"] if not _shares(case, one, target)]
    picked = case.draw.branch("others").some(others, 2 + 1)
    right = Offer(case.say(f"to_{target}", **who.words()), True, target)
    offers = (right, *(_other(case, one, who) for one in picked))
    return Sketch(offers, lambda: _draft(case, who, profile, rule, shown, offers))


def _draft(
    case: Case,
    who: Person,
    profile: Profile,
    rule: Rule,
    shown: list[str],
    offers: tuple[Offer, ...],
) -> Draft:
    told = cues(case, who, profile, shown)
    idle = idle_details(case, who, profile, 1 + case.step)
    story = " ".join(
        [hair_line(case, who, profile), *case.draw.branch("story").shuffled([*told, *idle])]
    )
    right = offers[0]
    return Draft(
        stem=case.say("stems", story=story, **who.words()),
        explanation=case.say("why", statement=rule.statement, do=rule.do, word=right.text),
        givens={
            "method": case.method.id,
            "profile": given_profile(profile),
            "meanings": {one.text: one.tag for one in offers},
        },
        facts=rule.facts,
        critical=rule.critical and right.tag != NOBODY,
        features={"cues": float(len(told)), "causes": 1.0, "idle": float(len(idle))},
        offers=offers,
    )


def _shares(case: Case, one: str, target: str) -> bool:
    """Whether sending to one would be as good as sending to the target."""
    return one == target or one in case.recipe.settings["as_good"].get(target, ())


def _other(case: Case, one: str, who: Person) -> Offer:
    return wrong(case.say(f"to_{one}", **who.words()), one, case.named_belief(one))
