"""One client, several methods -> which may be fitted today. Keyed by running the rules."""

from collections.abc import Mapping

from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import verdict_of
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import ALL, Bank
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.people import meeting, plain_profile
from trainer.core.scenarios.reasoning.offer_verdict import usable
from trainer.core.scenarios.story import (
    CLIENTS,
    cues,
    given_profile,
    hair_line,
    idle_details,
    told_of,
)
from trainer.core.scenarios.wording import lower_first

TODAY = ("go_ahead", "adapt")


def _telling(bank: Bank, method: str, recipe: Recipe) -> list[Rule]:
    """Rules that stop this method but may spare another: a piece that comes off, for one."""
    return bank.once(("telling", method, recipe.id), lambda: _telling_of(bank, method, recipe))


def _telling_of(bank: Bank, method: str, recipe: Recipe) -> list[Rule]:
    not_about = set(recipe.settings["not_about"])
    return [
        rule
        for rule in usable(bank, method)
        if rule.verdict not in TODAY
        and not not_about & {condition.attribute for condition in rule.when}
        and ALL not in rule.methods
    ]


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether some rule stops this method but spares others."""
    return bool(_telling(bank, method, recipe))


def work_out(case: Case) -> Sketch | None:
    """Draw a client whom one rule keeps from this method, and ask about several methods."""
    bank = case.bank
    rule = case.draw.one(_telling(bank, case.method.id, case.recipe))
    plain = plain_profile(bank, case.draw.branch("client"))
    profile = meeting(bank, case.draw.branch("rule"), plain, rule.when)
    if profile is None:
        return None
    others = [method for method in bank.methods if method != case.method.id]
    count = case.recipe.settings["methods_shown"][case.step] - 1
    shown = [case.method.id, *case.draw.branch("shown").some(others, min(count, len(others)))]
    verdicts = {method: verdict_of(bank, method, profile) for method in shown}
    fine = [method for method in shown if verdicts[method][0] in TODAY]
    if not fine or len(fine) == len(shown):
        return None
    return _sketch(case, profile, verdicts)


def _sketch(
    case: Case, profile: Profile, verdicts: Mapping[str, tuple[str, tuple[Rule, ...]]]
) -> Sketch | None:
    spoken = [one for _, rules in verdicts.values() for one in rules]
    held = {c.attribute for method in verdicts for c in case.bank.methods[method].loose_when}
    asked = [c.attribute for one in spoken for c in one.when if c.attribute not in held]
    shown = told_of(case, profile, asked)
    if not shown:
        return None
    offers = tuple(_offer(case, profile, method, *found) for method, found in verdicts.items())
    return Sketch(offers, lambda: _draft(case, profile, verdicts, shown, offers))


def _draft(
    case: Case,
    profile: Profile,
    verdicts: Mapping[str, tuple[str, tuple[Rule, ...]]],
    shown: list[str],
    offers: tuple[Offer, ...],
) -> Draft:
    who = case.client(profile)
    spoken = [one for _, rules in verdicts.values() for one in rules]
    told = cues(case, who, profile, shown)
    mixed = case.draw.branch("story").shuffled(
        [*told, *idle_details(case, who, profile, case.step)]
    )
    story = " ".join([hair_line(case, who, profile), *mixed])
    return Draft(
        stem=case.say("stems", story=story, **who.words()),
        explanation=case.say("why", reasons=_reasons(case, profile, verdicts)),
        givens={"profile": given_profile(profile), "methods": list(verdicts), "day": "today"},
        facts=tuple(dict.fromkeys(fact for one in spoken for fact in one.facts)),
        critical=False,
        features={"cues": float(len(told)), "causes": float(len(set(spoken)))},
        offers=offers,
    )


def _reasons(
    case: Case, profile: Profile, verdicts: Mapping[str, tuple[str, tuple[Rule, ...]]]
) -> list[dict[str, object]]:
    """Each reason once, with the methods that it rules out today."""
    told: dict[str, list[str]] = {}
    for method, (verdict, rules) in verdicts.items():
        if verdict not in TODAY:
            name = lower_first(_name(case.bank, profile, method))
            told.setdefault(rules[0].statement, []).append(name.partition(", ")[0])
    return [{"statement": said, "methods": names} for said, names in told.items()]


def _offer(
    case: Case, profile: Profile, method: str, verdict: str, rules: tuple[Rule, ...]
) -> Offer:
    name = _name(case.bank, profile, method)
    if verdict in TODAY:
        return Offer(name, True, method)
    mirrored = [one for rule in rules for one in rule.mirrors]
    beliefs = [case.bank.misconceptions[one] for one in mirrored] or [case.belief(method)]
    return wrong(name, method, beliefs[0], rules[0].statement)


def _name(bank: Bank, profile: Profile, method: str) -> str:
    """The method, and how it would be held where that decides: 'Wig or hairpiece, glued'."""
    found, kinds = bank.methods[method], bank.wording[CLIENTS]["kinds"]
    how = bank.wording[CLIENTS]["holds"].get(method)
    held = [
        kinds[condition.attribute][str(profile.get(condition.attribute))]
        for condition in found.loose_when
    ]
    return ", ".join([found.name, *(held or ([how] if how else []))])
