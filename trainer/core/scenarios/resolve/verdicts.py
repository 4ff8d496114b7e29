"""Keys that the rules give: a verdict, a list of methods, signs that stop."""

from collections.abc import Mapping

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import GRAVITY, Way, gravest, model_of


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


WAYS: Mapping[str, Way] = {
    "offer_verdict": _verdict,
    "may_be_offered": _offered,
    "signs_that_stop": _signs,
}
