"""A client's story -> what happens with the booking. Keyed by running the rules."""

from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import RANK, verdict_of
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.misconception import Misconception
from trainer.core.knowledge.rule import Rule
from trainer.core.knowledge.words import VERDICTS, Verdict
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.people import Person, meeting, plain_profile
from trainer.core.scenarios.story import (
    can_say,
    clear_line,
    cues,
    given_profile,
    hair_line,
    idle_details,
    told_of,
)

NEVER = "never"
"""Never right, and soon known for that: offered where there is nothing better."""
SAID = (*VERDICTS, NEVER)
SKIN_TEST = ("skin_test_hours", "skin_test_result")


def usable(bank: Bank, method: str) -> list[Rule]:
    """Rules about the method that can be told in words and may be keyed on."""
    return bank.once(
        ("usable", method),
        lambda: [
            rule
            for rule in bank.rules_of(method)
            if can_say(bank, rule) and all(bank.facts[fact].may_key for fact in rule.facts)
        ],
    )


def apart_from(bank: Bank, method: str, rule: Rule) -> list[Rule]:
    """Usable rules about the method that ask about nothing that a rule asks about."""
    taken = {condition.attribute for condition in rule.when}
    return bank.once(
        ("apart from", method, rule.id),
        lambda: [
            other
            for other in usable(bank, method)
            if taken.isdisjoint(condition.attribute for condition in other.when)
        ],
    )


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method has rules to ask about."""
    return bool(usable(bank, method))


def work_out(case: Case) -> Sketch | None:
    """Draw a client, let the rules decide, ask what to do."""
    client: Profile | None = plain_profile(case.bank, case.draw.branch("client"))
    rule = None
    if client and not case.draw.chance(case.recipe.settings["go_ahead_share"]):
        rule = _drawn(case)
        met = meeting(case.bank, case.draw.branch("rule"), client, rule.when)
        client = met and _with_second(case, met, rule)
    if client is None:
        return None
    verdict, spoken = verdict_of(case.bank, case.method.id, client)
    if (rule is None and spoken) or (rule is not None and spoken[:1] != (rule,)):
        return None
    return _sketch(case, client, verdict, spoken)


def _with_second(case: Case, profile: Profile, rule: Rule) -> Profile | None:
    """Often a lighter finding of another kind as well, which does not settle what happens."""
    draw, others = case.draw.branch("second"), apart_from(case.bank, case.method.id, rule)
    lighter = [other for other in others if RANK[other.verdict] < RANK[rule.verdict]]
    if not lighter or not draw.chance(case.recipe.settings["second_share"][case.step]):
        return profile
    return meeting(case.bank, draw, profile, draw.one(lighter).when)


def _drawn(case: Case) -> Rule:
    """A verdict first, then a rule: many rules of one verdict do not make it a good guess."""
    rules = usable(case.bank, case.method.id)
    verdict = case.draw.branch("verdict").one(sorted({rule.verdict for rule in rules}))
    return case.draw.one([rule for rule in rules if rule.verdict == verdict])


def _sketch(
    case: Case, profile: Profile, verdict: Verdict, spoken: tuple[Rule, ...]
) -> Sketch | None:
    if spoken and not told_of(case, profile, _asked(spoken)):
        return None
    who = case.client(profile)
    right = Offer(case.say(verdict, **who.words()), True, verdict)
    offers = (right, *_wrong(case, who, verdict, spoken))
    return Sketch(offers, lambda: _draft(case, who, profile, spoken, offers))


def _draft(
    case: Case, who: Person, profile: Profile, spoken: tuple[Rule, ...], offers: tuple[Offer, ...]
) -> Draft:
    story = _story(case, who, profile, spoken)
    facts = tuple(dict.fromkeys(fact for rule in spoken for fact in rule.facts))
    return Draft(
        stem=case.say("stems", story=story, **who.words()),
        explanation=_why(case, spoken),
        givens={
            "profile": given_profile(profile),
            "method": case.method.id,
            "meanings": {one.text: one.tag if one.tag in SAID else "" for one in offers},
        },
        facts=facts or _plain_facts(case),
        critical=any(rule.critical for rule in spoken[:1]),
        features=_features(case, spoken),
        offers=offers,
    )


def _story(case: Case, who: Person, profile: Profile, spoken: tuple[Rule, ...]) -> str:
    """Hair first, then cues and idle details in a drawn order."""
    told = cues(case, who, profile, _asked(spoken))
    idle = idle_details(case, who, profile, case.step + (not spoken[1:]))
    sound = [] if spoken else _found_sound(case, who, profile)
    mixed = case.draw.branch("story").shuffled([*told, *idle, *sound])
    return " ".join([hair_line(case, who, profile), *mixed])


def _asked(spoken: tuple[Rule, ...]) -> list[str]:
    return [condition.attribute for rule in spoken for condition in rule.when]


def _found_sound(case: Case, who: Person, profile: Profile) -> list[str]:
    """That head and hair were looked at and tested, and the skin where the method needs it."""
    asked = {c.attribute for rule in case.bank.rules_of(case.method.id) for c in rule.when}
    tested = cues(case, who, profile, SKIN_TEST) if asked.issuperset(SKIN_TEST) else []
    return [clear_line(case, who), *([" ".join(tested)] if tested else [])]


def _wrong(case: Case, who: Person, verdict: Verdict, spoken: tuple[Rule, ...]) -> list[Offer]:
    """What one holder of a mirrored belief would do, filled up with other verdicts.

    Verdicts are said in the same phrases whether right or wrong here: only the case tells.
    """
    mirrored = [case.bank.misconceptions[name] for rule in spoken[:1] for name in rule.mirrors]
    acted = [wrong(one.does, one.id, one) for one in mirrored if one.does]
    offers = case.draw.branch("acts").shuffled(acted)[:1]
    others = case.draw.branch("verdicts").shuffled(_clearly_other(case, verdict, spoken))
    for other in sorted(others, key=lambda one: one == NEVER):
        if len(offers) == 2 + 1:
            break
        belief = _belief_for(case, other, verdict, mirrored)
        offers.append(wrong(case.say(other, **who.words()), other, belief))
    return offers


def _clearly_other(case: Case, verdict: Verdict, spoken: tuple[Rule, ...]) -> list[str]:
    """Verdicts that nobody careful could defend here, from the recipe's table.

    Where the method is declined whatever the client wishes, going ahead on other terms is one of
    them; where a wish decides (how it is held, with which tool), other terms may be right.
    """
    told = list(case.recipe.settings["clearly_other"][verdict])
    groups = {case.bank.attributes[c.attribute].group for rule in spoken[:1] for c in rule.when}
    if verdict == "decline" and "wishes" not in groups:
        told.append("adapt")
    return told


def _belief_for(
    case: Case, other: str, verdict: Verdict, mirrored: list[Misconception]
) -> Misconception:
    """Too much caution and too little come from different beliefs."""
    if other == NEVER or RANK[other] > RANK[verdict]:  # type: ignore[index]
        return case.named_belief("too_cautious")
    plain = [one for one in mirrored if not one.does]
    return case.draw.branch(f"belief {other}").one(plain or mirrored or [case.belief(other)])


def _why(case: Case, spoken: tuple[Rule, ...]) -> str:
    if not spoken:
        return case.say("why_go_ahead")
    first, others = spoken[0], spoken[1:]
    why = case.say("why", statement=first.statement, do=first.do, change=first.change)
    sent_on = [case.say("besides", do=one.do) for one in others if one.verdict == "refer"]
    return " ".join([why, *sent_on])


def _plain_facts(case: Case) -> tuple[str, ...]:
    return tuple(case.recipe.settings["go_ahead_facts"])


def _features(case: Case, spoken: tuple[Rule, ...]) -> dict[str, float]:
    return {
        "cues": float(sum(len(rule.when) for rule in spoken)),
        "causes": float(len(spoken)),
        "idle": float(case.step + (not spoken[1:])),
        "closeness": 1.0,
    }
