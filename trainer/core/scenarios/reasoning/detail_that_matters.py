"""Four true details of one client -> the one that matters for the method that is planned."""

from collections.abc import Mapping

from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import RANK, verdict_of
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.people import Person, meeting, plain_profile
from trainer.core.scenarios.reasoning.offer_verdict import usable
from trainer.core.scenarios.story import cue, given_profile, idle_details


def deciding(bank: Bank, method: str) -> list[Rule]:
    """Rules of the method on one attribute alone that change what is done."""
    return bank.once(("deciding", method), lambda: _deciding_of(bank, method))


def _deciding_of(bank: Bank, method: str) -> list[Rule]:
    return [
        rule
        for rule in usable(bank, method)
        if len({c.attribute for c in rule.when}) == 1 and rule.verdict != "go_ahead"
    ]


def foreign(bank: Bank, method: str, recipe: Recipe) -> list[Rule]:
    """Such rules of other methods on attributes that no rule of this method asks about."""
    return bank.once(("foreign", method, recipe.id), lambda: _foreign_of(bank, method, recipe))


def _foreign_of(bank: Bank, method: str, recipe: Recipe) -> list[Rule]:
    mine = {c.attribute for rule in bank.rules_of(method) for c in rule.when}
    mine |= set(recipe.settings["never_foreign"])
    others = {r.id: r for other in bank.methods if other != method for r in deciding(bank, other)}
    return [rule for rule in others.values() if rule.when[0].attribute not in mine]


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether some rule decides here, and some detail matters elsewhere only."""
    return bool(deciding(bank, method)) and bool(foreign(bank, method, recipe))


def work_out(case: Case) -> Sketch | None:
    """One detail with a rule of this method; others that matter for other methods or for none."""
    bank, method = case.bank, case.method.id
    rule = case.draw.one(deciding(bank, method))
    others = foreign(bank, method, case.recipe)
    draw = case.draw.branch("away")
    away = draw.some(others, draw.between(1, min(len(others), 1 + 2)))
    attributes = dict.fromkeys(one.when[0].attribute for one in away)
    plain = plain_profile(bank, case.draw.branch("client"))
    profile = _with_all(case, plain, [rule, *away])
    if profile is None or verdict_of(bank, method, profile)[1] != (rule,):
        return None
    who = case.client(profile)
    told = {name: cue(case, who, profile, name) or "" for name in attributes}
    mine = cue(case, who, profile, rule.when[0].attribute)
    if mine is None or not all(told.values()):
        return None
    return _sketch(case, rule, who, profile, mine, told)


def _with_all(case: Case, plain: Profile, rules: list[Rule]) -> Profile | None:
    made: Profile | None = plain
    for rule in rules:
        made = meeting(case.bank, case.draw.branch(rule.id), made, rule.when) if made else None
    return made


def _sketch(
    case: Case,
    rule: Rule,
    who: Person,
    profile: Profile,
    mine: str,
    elsewhere: Mapping[str, str],
) -> Sketch:
    idle = idle_details(case, who, profile, 2 + 2 - 1 - len(elsewhere))
    belief, note = case.named_belief("elsewhere"), case.say("matters_elsewhere")
    offers = [Offer(mine, True, rule.id)]
    offers += [wrong(text, text, belief, note) for text in elsewhere.values()]
    belief, note = case.named_belief("idle"), case.say("matters_nowhere")
    offers += [wrong(text, text, belief, note) for text in idle]
    details = {
        mine: rule.when[0].attribute,
        **{text: name for name, text in elsewhere.items()},
        **dict.fromkeys(idle, ""),
    }
    return Sketch(tuple(offers), lambda: _draft(case, rule, who, profile, details, tuple(offers)))


def _draft(
    case: Case,
    rule: Rule,
    who: Person,
    profile: Profile,
    details: Mapping[str, str],
    offers: tuple[Offer, ...],
) -> Draft:
    return Draft(
        stem=case.say("stems", **who.words()),
        explanation=case.say("why", statement=rule.statement, do=rule.do),
        givens={
            "method": case.method.id,
            "profile": given_profile(profile),
            "details": details,
        },
        facts=rule.facts,
        critical=rule.critical and RANK[rule.verdict] > RANK["adapt"],
        features={"cues": float(sum(map(bool, details.values()))), "causes": 1.0, "closeness": 1.0},
        offers=offers,
    )
