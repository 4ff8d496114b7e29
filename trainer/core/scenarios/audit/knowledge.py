"""Whether one item rests on what is known. A check yields what it finds, in words."""

from collections.abc import Callable

from trainer.core.advice.profile import Profile, contradictions
from trainer.core.items.item import Item
from trainer.core.items.types.consultation import key_lines
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.quantity import said
from trainer.core.scenarios.audit.words import Found
from trainer.core.scenarios.family import family
from trainer.core.scenarios.resolve import resolve, way_for

BankCheck = Callable[[Bank, Item], Found]
FEWEST_WORDS = 4


def as_planned(bank: Bank, item: Item) -> Found:
    """HDR 1."""
    recipe, heading = family(bank, item.heading.family).recipe, item.heading
    if (heading.topic, heading.service, heading.type) != (
        recipe.topic,
        recipe.service,
        recipe.type,
    ):
        yield "is not what its family says"
    methods = (heading.method, *item.givens.get("methods", ()))
    known = [bank.facts[name] for name in item.facts if name in bank.facts]
    if known and not any(bank.covers((f.method,), m) for f in known for m in methods):
        yield "none of its facts is about the method"


def rests_on_facts(bank: Bank, item: Item) -> Found:
    """HDR 2."""
    if not item.facts:
        yield "rests on no fact"
    known = [bank.facts[name] for name in item.facts if name in bank.facts]
    if item.critical and known and not any(fact.critical for fact in known):
        yield f"critical, but none of its facts is: {', '.join(item.facts)}"


def no_recall(bank: Bank, item: Item) -> Found:
    """HDR 3."""
    stated = {said(bank.facts[name]).casefold() for name in item.facts if name in bank.facts}
    for text in right_texts(item):
        if text.casefold() in stated:
            yield f"the key is a fact word for word: {text[:60]!r}"


def own_key_kept(bank: Bank, item: Item) -> Found:
    """HDR 4."""
    if item.heading.type in ("choose_one", "choose_all"):
        for text in right_texts(item):
            if len(text.split()) >= FEWEST_WORDS and text.strip(".").casefold() in item.stem:
                yield f"the stem holds the key: {text[:60]!r}"


def facts_hold(bank: Bank, item: Item) -> Found:
    """Design 4.1."""
    for name in item.facts:
        fact = bank.facts.get(name)
        if fact is None:
            yield f"unknown fact {name}"
        elif not fact.may_key:
            yield f"keyed on an unconfirmed fact: {name}"
    if item.critical and not any(
        bank.facts[n].may_key_critical for n in item.facts if n in bank.facts
    ):
        yield f"weak sources key something critical: {', '.join(item.facts)}"


def real_mistakes(bank: Bank, item: Item) -> Found:
    """HDR 30."""
    for wrong, belief in item.misconceptions.items():
        if belief not in bank.misconceptions:
            yield f"{wrong} hangs on unknown {belief}"


def possible_person(bank: Bank, item: Item) -> Found:
    """Design 4.6."""
    profile = item.givens.get("profile")
    if isinstance(profile, dict):
        for why, fields in contradictions(bank, Profile(profile)):
            yield f"{fields}: {why}"


def key_again(bank: Bank, item: Item) -> Found:
    """HDR 19 by a second reckoning: the key from givens, facts, rules and procedures alone."""
    reached = resolve(bank, item)
    if reached is not None and reached != sorted(right_texts(item)):
        yield f"reached {reached} from the givens"


def key_in_reach(bank: Bank, item: Item) -> Found:
    """Design 8."""
    if way_for(bank, item) is None:
        yield "no way to reach the key"


def right_texts(item: Item) -> list[str]:
    """The key in words that do not depend on letters."""
    if item.heading.type == "put_in_order":
        text = {option.id: option.text for option in item.options}
        return [f"{text[a]} > {text[b]}" for a, b in item.key["pairs"]]
    if item.heading.type == "consultation":
        return key_lines(item.key)
    if item.heading.type == "number":
        return [f"{item.key['value']:g}"]
    if item.heading.type == "date":
        return [str(item.key)]
    return [option.text for option in item.options if option.id in item.key]
