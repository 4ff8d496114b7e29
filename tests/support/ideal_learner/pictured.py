"""Answers about drawings, from the measures in the givens and never from the picture."""

from tests.support.ideal_learner.reckoned import chosen

MM = {"mm": 1, "cm": 10}
IN_THE_WAY = {"mat": "clump", "shed": "loose hairs", "plain": "nothing"}
"""What is drawn at an attachment -> what has to come out before it is free."""


def parts(item, letters):
    """The options of lettered parts, whether their ids are large or small letters."""
    return [one["id"] for one in item["options"] if one["id"].upper() in letters]


def _sound(book, given, part):
    return all(book.within(given["limits"][role], value) for role, value in part.items())


def at_fault(book, item):
    given = item["givens"]
    found = [p for p, part in given["measured"].items() if not _sound(book, given, part)]
    return parts(item, found)


def sound(book, item):
    given = item["givens"]
    return parts(item, [p for p, part in given["measured"].items() if _sound(book, given, part)])


def distance(book, item):
    """One mark from the other; to move: how much is missing to the least."""
    given = item["givens"]
    sits = given["near_at_mm"] - given["edge_at_mm"]
    if given["asked"] != "move":
        return sits
    fact = book.facts[given["fact"]]
    return fact["low"] * MM[fact["unit"]] - sits


def outnumbered(book, item):
    given = item["givens"]
    own = {
        letter: part["width_mm"] * part["depth_mm"] / 100 * given["per_cm2"]
        for letter, part in given["parts"].items()
    }
    return parts(item, [name for name in own if given["parts"][name]["added"] > own[name]])


def sign(book, item):
    """Where a rule refers for what is seen, nothing is fitted and the client is sent on."""
    given = item["givens"]
    stops = book.verdict(given["method"], given["seen"]) in ("refer", "decline")
    right = {"fits": not stops, "sends": stops, "treats": False}
    return chosen(item, lambda text: given["meanings"][text] == right)


def at_removal(book, item):
    """Dry, from the ends up, without force; and what is in the way comes out."""
    given = item["givens"]
    right = {"wets": False, "from_ends": True, "force": False}
    right["takes_out"] = IN_THE_WAY[given["drawn"]]
    return chosen(item, lambda text: given["meanings"][text] == right)


PICTURED = {
    "fault_in_section": at_fault,
    "fault_on_head_map": at_fault,
    "safe_one_of_four": sound,
    "read_distance": distance,
    "section_against_strand": outnumbered,
    "signs_drawn": sign,
    "found_at_removal": at_removal,
}
