"""What is said to the client at the end: the right words, and wrong ones that people do say."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import loose
from trainer.core.items.item import Offer
from trainer.core.knowledge.misconception import Misconception
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.consultation.findings import Teller
from trainer.core.scenarios.consultation.key import MAY, Ruled
from trainer.core.scenarios.story import CLIENTS
from trainer.core.scenarios.wording import lower_first, with_article, without_stop

CONSULTING = "en/consulting"
TABLETS = "shed.new_medicine"
SLIPS = {
    "settles": "tension.pain_settles",
    "everybody": "consult.card_is_for_the_file",
    "file": "consult.card_is_for_the_file",
    "naming": "scalp.name_it_myself",
    "tablets": "health.stop_the_tablets",
}
"""Wrong words -> the belief behind them."""


def tellings(
    case: Case, teller: Teller, booked: Ruled, plan: Mapping[str, Any] | None
) -> list[Offer]:
    """Four ways to tell the client, one of them right."""
    values = _values(case, teller, booked, plan)
    right = Offer(_text(case, teller, booked.verdict, values), True, booked.verdict)
    beliefs = case.bank.misconceptions
    offers = [
        right,
        _wrong(case, teller, "never", beliefs["consult.every_mark_is_a_no"], values),
        *_lax(case, teller, booked, values),
    ]
    more = ("settles", "everybody") if booked.verdict in MAY else (_other_slip(booked),)
    return offers + [_wrong(case, teller, kind, beliefs[SLIPS[kind]], values) for kind in more]


def _other_slip(booked: Ruled) -> str:
    """Meddling with a medicine, naming an illness, or forgetting what the card says."""
    if any(rule.id == TABLETS for rule in booked.deciding):
        return "tablets"
    return "naming" if booked.verdict == "refer" else "file"


def _lax(case: Case, teller: Teller, booked: Ruled, values: Mapping[str, Any]) -> list[Offer]:
    """Going on all the same, out of a belief that one of the deciding rules answers."""
    if not booked.deciding or booked.verdict in MAY:
        return []
    belief = mirrored(case, booked.deciding)
    return [_wrong(case, teller, "lax", belief, {**values, "belief": belief.belief})]


def mirrored(case: Case, rules: Sequence[Rule]) -> Misconception:
    """A wrong belief that one of the rules answers, or any about the method."""
    names = dict.fromkeys(name for rule in rules for name in rule.mirrors)
    names.pop(SLIPS["naming"], None)  # it has words of its own
    there = [case.bank.misconceptions[name] for name in names]
    ours = [one for one in there if case.bank.covers(one.methods, case.method.id)]
    return case.draw.branch("mirror").one(ours) if ours else case.belief("mirror", rules[0].topic)


def _whom(booked: Ruled) -> str:
    """To whom the rule that is said refers; a doctor where it names nobody."""
    return (booked.deciding[0].refer_to if booked.deciding else None) or "doctor"


def because(case: Case, rule: Rule) -> str:
    """The rule's reason as it is said to the client."""
    told: Mapping[str, str] = case.bank.wording[CONSULTING]["because"]
    return told.get(rule.id) or lower_first(without_stop(rule.statement))


def _wrong(
    case: Case, teller: Teller, kind: str, belief: Misconception, values: Mapping[str, Any]
) -> Offer:
    return wrong(_text(case, teller, kind, values), kind, belief)


def _text(case: Case, teller: Teller, kind: str, values: Mapping[str, Any]) -> str:
    ways = case.bank.wording[CONSULTING]["say"][kind]
    return teller.words(case.draw.branch(f"telling {kind}").one(ways), **values)


def _values(
    case: Case, teller: Teller, booked: Ruled, plan: Mapping[str, Any] | None
) -> dict[str, Any]:
    table = case.bank.wording[CONSULTING]["say"]
    rules = booked.deciding
    values: dict[str, Any] = {"because": because(case, rules[0]) if rules else ""}
    values["whom"] = case.bank.wording[CONSULTING]["whom"][_whom(booked)]
    values["earliest"] = date.fromisoformat(plan["earliest"]) if plan else None
    if plan is None:
        return {**values, "offer": table["offer_none"], "back": ""}
    if plan["return_from"]:
        ends = {n: date.fromisoformat(plan[f"return_{n}"]) for n in ("from", "until")}
        values["back"] = teller.words(table["back"], **ends)
    else:
        method = case.bank.methods[plan["method"]]
        stays = method.bonded and not loose(case.bank, method.id, teller.profile)
        values["back"] = table["back_later" if stays else "back_open"]
    values["offer"] = teller.words(
        table["offer"], other=noun(case, plan["method"], teller.profile), **values
    )
    return values


def noun(case: Case, method: str, profile: Profile) -> str:
    """What the client wears with a method: with its article, and how it is held where it varies."""
    found = case.bank.methods[method]
    kinds = case.bank.wording[CLIENTS]["kinds"]
    ways = dict.fromkeys(condition.attribute for condition in found.loose_when)
    held = [kinds[name][str(profile.get(name))] for name in ways if name in kinds]
    return " ".join((with_article(found.noun) if found.countable else found.noun, *held))
