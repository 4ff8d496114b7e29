"""Keys that are reckoned from loads, lengths, counts, air and heat."""

from collections.abc import Mapping

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import Way, options_saying


def _story(bank: Bank, item: Item) -> list[str]:
    """Whether some usual placing and some usual rate make the measured distance."""
    given = item.givens
    placed, rate = bank.facts[given["placed_fact"]], bank.facts[given["rate_fact"]]
    days = given["weeks_told"] * 7
    least = placed.low + rate.low * days / 1000
    most = placed.high + rate.high * days / 1000
    measured = given["measured_mm"]
    word = "shorter" if measured < least else "longer" if measured > most else "fits"
    return options_saying(bank, item, word)


def _shed_or_loss(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    fact, (part, of) = bank.facts[given["fact"]], given["share"]
    least, most = (end * given["days"] * part / of for end in (fact.low, fact.high))
    count = given["count"]
    word = "too_few" if count < least else "too_many" if count > most else "ordinary"
    return options_saying(bank, item, word)


def _load(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    hairs = given["width_mm"] * given["depth_mm"] * given["per_cm2"] / 100
    return [f"{round(given['mass_g'] * 1000 / (hairs * given['carrying_percent'] / 100), 1):g}"]


def _most(bank: Bank, item: Item) -> list[str]:
    options = item.givens["options"]
    return [max(options, key=lambda text: options[text][0] / options[text][1])]


def _uneven(bank: Bank, item: Item) -> list[str]:
    return [f"{round(item.givens['mass_g'] / item.givens['carry'], 2):g}"]


def _section(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    held = {
        t: wide * deep * given["per_cm2"] / 100 for t, (wide, deep) in given["sections"].items()
    }
    return [min((t for t in held if held[t] >= given["strand"]), key=lambda text: held[text])]


def _ease(bank: Bank, item: Item) -> list[str]:
    changes = item.givens["changes"]
    return [min(changes, key=lambda t: changes[t]["grams_percent"] / changes[t]["section_percent"])]


def _air(bank: Bank, item: Item) -> list[str]:
    """By proportion from the measure that the stem gives, as a person would."""
    known, limit = item.givens["known"], bank.facts[item.givens["limit_fact"]].high
    one = known["known_ppm"] * known["known_m3"] / known["known_ml"]
    return [
        t for t, room in item.givens["rooms"].items() if one * room["ml"] / room["room_m3"] > limit
    ]


def _heat(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    bears = given["label_c"] if given["made_of"] == "fibre" else bank.facts[HEAT].low
    fit = {text: degrees for text, degrees in given["settings_c"].items() if degrees <= bears}
    return [max(fit, key=lambda text: fit[text])]


def _long(bank: Bank, item: Item) -> list[str]:
    least = bank.facts[item.givens["least_fact"]].high
    return [t for t, cm in item.givens["clients"].items() if cm["cm_where_it_sits"] >= least]


def _pulled(bank: Bank, item: Item) -> list[str]:
    limit = bank.facts[item.givens["limit_fact"]].high
    return [t for t, seen in item.givens["tests"].items() if seen["whole_hairs"] > limit]


def _tried(bank: Bank, item: Item) -> list[str]:
    hours = bank.facts[item.givens["wait_fact"]].high
    return [
        text
        for text, test in item.givens["products"].items()
        if test["result"] == "clear" and test["hours"] >= hours
    ]


HEAT = "heat.permanent_change"
WAYS: Mapping[str, Way] = {
    "does_story_fit": _story,
    "shed_or_loss": _shed_or_loss,
    "load_per_hair": _load,
    "most_loaded": _most,
    "uneven_row": _uneven,
    "section_for_strand": _section,
    "ease_the_load": _ease,
    "air_in_room": _air,
    "heat_choice": _heat,
    "long_enough": _long,
    "pull_tests": _pulled,
    "products_tested": _tried,
}
