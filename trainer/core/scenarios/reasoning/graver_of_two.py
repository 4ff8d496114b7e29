"""Two findings at once -> what is done: the graver of the two settles it."""

from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import RANK, verdict_of
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.people import meeting, plain_profile
from trainer.core.scenarios.reasoning.offer_verdict import apart_from, usable
from trainer.core.scenarios.story import cues, given_profile, idle_details, told_of


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether some rules of the method stop a fitting and others only change it."""
    verdicts = {rule.verdict for rule in usable(bank, method)}
    return "adapt" in verdicts and any(RANK[one] > RANK["adapt"] for one in verdicts)


def work_out(case: Case) -> Sketch | None:
    """One finding that stops the fitting, one that would only change it: what the first forbids
    takes in all that the second asks for."""
    rules = usable(case.bank, case.method.id)
    graver = case.draw.one([rule for rule in rules if RANK[rule.verdict] > RANK["adapt"]])
    others = apart_from(case.bank, case.method.id, graver)
    lighter = [rule for rule in others if _lighter(rule, graver)]
    if not lighter:
        return None
    other = case.draw.branch("other").one(lighter)
    profile: Profile | None = plain_profile(case.bank, case.draw.branch("client"))
    for rule in (graver, other):
        profile = (
            meeting(case.bank, case.draw.branch(rule.id), profile, rule.when) if profile else None
        )
    if profile is None:
        return None
    spoken = verdict_of(case.bank, case.method.id, profile)[1]
    if {rule.id for rule in spoken} != {graver.id, other.id}:
        return None
    return _sketch(case, profile, graver, other)


def _lighter(rule: Rule, graver: Rule) -> bool:
    """Whether doing what the graver asks for takes in what this one asks for: a changed plan, or,
    where somebody else has to look first, a wait that asks for nobody's word."""
    waits = rule.verdict == "wait" and not rule.refer_to and graver.verdict == "refer"
    return rule.verdict == "adapt" or waits


def _sketch(case: Case, profile: Profile, graver: Rule, other: Rule) -> Sketch | None:
    if not all(told_of(case, profile, _asked(rule)) for rule in (graver, other)):
        return None
    acts = _acts(case, graver, other)
    if not acts[1:]:
        return None
    offers = (Offer(graver.do, True, graver.id), *acts)
    return Sketch(offers, lambda: _draft(case, profile, graver, other, offers))


def _asked(rule: Rule) -> list[str]:
    return [condition.attribute for condition in rule.when]


def _draft(
    case: Case, profile: Profile, graver: Rule, other: Rule, offers: tuple[Offer, ...]
) -> Draft:
    who = case.client(profile)
    told = [line for rule in (graver, other) for line in cues(case, who, profile, _asked(rule))]
    idle = idle_details(case, who, profile, case.step)
    mixed = case.draw.branch("story").shuffled([*told, *idle])
    return Draft(
        stem=case.say("stems", story=" ".join(mixed), **who.words()),
        explanation=case.say(
            f"why_{other.verdict}",
            first=graver.statement,
            second=other.statement,
            do=graver.do,
        ),
        givens={
            "method": case.method.id,
            "profile": given_profile(profile),
            "acts": {graver.do: graver.id, other.do: other.id} | {o.text: "" for o in offers[2:]},
        },
        facts=tuple(dict.fromkeys((*graver.facts, *other.facts))),
        critical=graver.critical,
        features={"cues": float(len(told)), "causes": 2.0, "closeness": 1.0},
        offers=offers,
    )


def _acts(case: Case, graver: Rule, other: Rule) -> list[Offer]:
    """What the lighter finding alone would ask for, and what holders of wrong beliefs would do."""
    note = case.say("lighter_alone", statement=other.statement)
    beliefs = dict.fromkeys(name for rule in (graver, other) for name in rule.mirrors)
    held = [case.bank.misconceptions[name] for name in beliefs]
    acts = [wrong(one.does, one.id, one) for one in held if one.does]
    usual = case.draw.branch("usual").some(case.recipe.settings["fit_all_the_same"], 2)
    acts += [wrong(case.say(word), word, case.named_belief(word)) for word in usual]
    picked = case.draw.branch("acts").some(acts, 2)
    return [wrong(other.do, other.id, case.named_belief("lighter"), note), *picked]
