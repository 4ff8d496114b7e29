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
    asked = (rule, *_second(case, rule, target))
    profile: Profile | None = plain
    for one in asked:
        draw = case.draw.branch(f"profile {one.id}")
        profile = meeting(case.bank, draw, profile, one.when) if profile else None
    if profile is None:
        return None
    spoken = verdict_of(case.bank, case.method.id, profile)[1]
    if {one.id for one in spoken} != {one.id for one in asked}:
        return None
    shown = [told_of(case, profile, _attributes(one)) for one in asked]
    if not all(shown):
        return None
    who = case.client(profile)
    others = [one for one in case.recipe.settings["targets"] if not _shares(case, one, target)]
    picked = case.draw.branch("others").some(others, 2 + 1)
    right = Offer(case.say(f"to_{target}", **who.words()), True, target)
    offers = (right, *(_other(case, one, who) for one in picked))
    return Sketch(offers, lambda: _draft(case, who, profile, asked, offers))


def _draft(
    case: Case,
    who: Person,
    profile: Profile,
    asked: tuple[Rule, ...],
    offers: tuple[Offer, ...],
) -> Draft:
    rule = asked[0]
    told = [line for one in asked for line in cues(case, who, profile, _attributes(one))]
    idle = idle_details(case, who, profile, max(0, 1 + case.step - 2 * len(asked[1:])))
    story = " ".join(
        [hair_line(case, who, profile), *case.draw.branch("story").shuffled([*told, *idle])]
    )
    right = offers[0]
    return Draft(
        stem=case.say("stems", story=story, **who.words()),
        explanation=_why(case, right.tag, asked),
        givens={
            "method": case.method.id,
            "profile": given_profile(profile),
            "meanings": {one.text: one.tag for one in offers},
        },
        facts=rule.facts,
        critical=rule.critical and right.tag != NOBODY,
        features={
            "cues": float(len(told)),
            "causes": float(len(asked)),
            "idle": float(len(idle)),
        },
        offers=offers,
    )


def _why(case: Case, target: str, asked: tuple[Rule, ...]) -> str:
    """The finding that settles it, and what the other one asks for."""
    first, *others = asked
    word = f"why_{target}" if f"why_{target}" in case.recipe.words else "why"
    why = case.say(word, statement=first.statement, do=first.do)
    return " ".join([why, *(case.say("besides", do=other.do) for other in others)])


def _attributes(rule: Rule) -> list[str]:
    return [condition.attribute for condition in rule.when]


def _second(case: Case, rule: Rule, target: str) -> tuple[Rule, ...]:
    """Often another finding of another kind, which needs nobody's word: it changes the plan, or,
    beside one that is sent on, makes the client wait."""
    settings, draw = case.recipe.settings, case.draw.branch("second")
    if not draw.chance(settings["second_share"][case.step]):
        return ()
    taken = {*_attributes(rule), *settings["look_first"]}
    verdicts = ("adapt",) if target == NOBODY else ("adapt", "wait")
    others = [
        other
        for other in usable(case.bank, case.method.id)
        if other.verdict in verdicts and not other.refer_to and not taken & set(_attributes(other))
    ]
    return (draw.one(others),) if others else ()


def _shares(case: Case, one: str, target: str) -> bool:
    """Whether sending to one would be as good as sending to the target."""
    return one == target or one in case.recipe.settings["as_good"].get(target, ())


def _other(case: Case, one: str, who: Person) -> Offer:
    return wrong(case.say(f"to_{one}", **who.words()), one, case.named_belief(one))
