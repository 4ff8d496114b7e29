"""What is seen at the parting -> what means that nothing is attached today. Keyed by rules."""

from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import RANK, verdict_of
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Value
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.people import meeting, plain_profile
from trainer.core.scenarios.reasoning.offer_verdict import usable
from trainer.core.scenarios.story import CLIENTS, given_profile
from trainer.core.scenarios.wording import render

FEWEST = 1 + 2


def _signs(bank: Bank, method: str, recipe: Recipe) -> dict[str, Rule]:
    """Attribute -> the single-cue rule on it, for cues that have a short name of what is seen."""
    key = ("signs", method, recipe.id)
    return bank.once(key, lambda: _signs_of(bank, method, recipe))


def _signs_of(bank: Bank, method: str, recipe: Recipe) -> dict[str, Rule]:
    seen = bank.wording[CLIENTS]["seen"]
    found: dict[str, Rule] = {}
    for rule in usable(bank, method):
        attribute = rule.when[0].attribute
        alone = not rule.when[1:] and attribute in seen
        alone = alone and attribute not in recipe.settings["not_about"]
        if alone and rule.topic == recipe.topic and RANK[rule.verdict] >= RANK["refer"]:
            found[attribute] = rule
    return found


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether there are at least three signs to tell from harmless ones."""
    return len(_signs(bank, method, recipe)) >= FEWEST


def work_out(case: Case) -> Sketch | None:
    """Draw some stopping signs and some harmless ones, each judged by the rules by itself."""
    bank = case.bank
    signs = _signs(bank, case.method.id, case.recipe)
    shown = case.recipe.settings["shown"]
    bad_count = case.draw.between(2, min(shown - 2, len(signs)))
    bad = [signs[name] for name in case.draw.branch("bad").some(sorted(signs), bad_count)]
    fine = case.draw.branch("fine").some(bank.wording[CLIENTS]["harmless"], shown - bad_count)
    plain = plain_profile(bank, case.draw.branch("client"))
    offers: list[Offer] = []
    profiles: dict[str, dict[str, Value | None]] = {}
    for rule in bad:
        attribute = rule.when[0].attribute
        profile = meeting(bank, case.draw.branch(attribute), plain, rule.when)
        if profile is None or not _stops(case, profile):
            return None
        text = _seen(case, attribute)
        profiles[text] = {attribute: profile.get(attribute)}
        offers.append(Offer(text, True, attribute, _belief(case, rule)))
    belief, note = case.named_belief("too_cautious"), case.say("harmless_note")
    for text in fine:
        said = render(text, {})
        profiles[said] = {}
        offers.append(wrong(said, text, belief, note))
    return Sketch(
        tuple(offers),
        lambda: Draft(
            stem=case.say("stems"),
            explanation=case.say("why", reasons=[rule.statement for rule in bad]),
            givens={"profile": given_profile(plain), "signs": profiles, "method": case.method.id},
            facts=tuple(dict.fromkeys(fact for rule in bad for fact in rule.facts)),
            critical=any(rule.critical for rule in bad),
            features={"cues": float(shown), "causes": float(bad_count)},
            offers=tuple(offers),
        ),
    )


def _seen(case: Case, attribute: str) -> str:
    ways = case.bank.wording[CLIENTS]["seen"][attribute]
    return render(case.draw.branch(f"seen {attribute}").one(ways), {})


def _stops(case: Case, profile: Profile) -> bool:
    return RANK[verdict_of(case.bank, case.method.id, profile)[0]] >= RANK["refer"]


def _belief(case: Case, rule: Rule) -> str:
    return rule.mirrors[0] if rule.mirrors else case.belief(rule.id).id
