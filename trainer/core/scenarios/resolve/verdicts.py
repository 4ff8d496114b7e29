"""Keys that the rules give: a verdict, a list of methods, signs that stop."""

from collections.abc import Mapping

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import (
    GRAVITY,
    Way,
    firing,
    gravest,
    model_of,
    options_saying,
)


def _verdict(bank: Bank, item: Item) -> list[str]:
    """The option that says the gravest verdict, in the words that the item model has for it."""
    verdict = gravest(bank, item.givens["method"], item.givens["profile"])
    words = bank.item_models[model_of(item)[0]]["words"][verdict]
    begun = tuple(word.split("{{")[0].strip() for word in words)
    return [option.text for option in item.options if option.text.startswith(begun)]


def _offered(bank: Bank, item: Item) -> list[str]:
    profile = item.givens["profile"]
    fit = [m for m in item.givens["methods"] if gravest(bank, m, profile) in GRAVITY[:2]]
    names = tuple(bank.methods[method].name for method in fit)
    return [option.text for option in item.options if option.text.startswith(names)]


def _signs(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    return [
        text
        for text, seen in given["signs"].items()
        if gravest(bank, given["method"], {**given["profile"], **seen}) in GRAVITY[3:]
    ]


def _detail(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    asked = {c.attribute for r in firing(bank, given["method"], given["profile"]) for c in r.when}
    return [text for text, attribute in given["details"].items() if attribute in asked]


def _still(bank: Bank, item: Item) -> list[str]:
    """The question on whose answer a rule about the method rests and that the card leaves open."""
    given = item.givens
    asked = {
        condition.attribute
        for rule in bank.rules.values()
        if {given["method"], "all"} & set(rule.methods)
        or ("bonded" in rule.methods and bank.methods[given["method"]].bonded)
        for condition in rule.when
    }
    open_ones = asked - set(given["on_the_card"])
    return [text for text, attribute in given["questions"].items() if attribute in open_ones]


def _way_back(bank: Bank, item: Item) -> list[str]:
    spoken = firing(bank, item.givens["method"], item.givens["profile"])
    return [rule.change for rule in spoken if rule.change in item.givens["news"]]


def _whom(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    spoken = firing(bank, given["method"], given["profile"])
    word = next((rule.refer_to for rule in spoken if rule.refer_to), "nobody")
    return options_saying(bank, item, f"to_{word}")


def _graver(bank: Bank, item: Item) -> list[str]:
    spoken = firing(bank, item.givens["method"], item.givens["profile"])
    return [max(spoken, key=lambda rule: GRAVITY.index(rule.verdict)).do]


def _words(bank: Bank, item: Item) -> list[str]:
    """The line that says what is seen and sends, names nothing and harms nobody."""
    wanted = {"says_what_is_seen": True, "names_a_disease": False, "sends": True, "harms": False}
    lines = item.givens["lines"].items()
    return [text for text, does in lines if wanted.items() <= does.items()]


WAYS: Mapping[str, Way] = {
    "offer_verdict": _verdict,
    "may_be_offered": _offered,
    "signs_that_stop": _signs,
    "detail_that_matters": _detail,
    "still_to_ask": _still,
    "what_would_change": _way_back,
    "whom_to_send": _whom,
    "graver_of_two": _graver,
    "words_for_client": _words,
}
