"""Answers that rules, troubles and lines on care give."""

import re

from tests.support.ideal_learner.book import GRAVITY
from tests.support.ideal_learner.reckoned import chosen, meaning


def booking(book, item):
    given = item["givens"]
    return meaning(item, book.verdict(given["method"], given["profile"]))


def detail(book, item):
    """The detail that a rule which speaks asks about."""
    given = item["givens"]
    spoken = book.speaking(given["method"], given["profile"])
    asked = {condition["attribute"] for rule in spoken for condition in rule["when"]}
    return chosen(item, lambda text: given["details"][text] in asked)


def open_question(book, item):
    """The question on which a rule about the method rests and that the card leaves open."""
    given = item["givens"]
    rules = [rule for rule in book.rules if given["method"] in rule["methods"]]
    asked = {condition["attribute"] for rule in rules for condition in rule["when"]}
    asked -= set(given["on_the_card"])
    return chosen(item, lambda text: given["questions"][text] in asked)


def way_back(book, item):
    """What would change the rule that speaks."""
    given = item["givens"]
    spoken = {rule["change"] for rule in book.speaking(given["method"], given["profile"])}
    return chosen(item, lambda text: text in spoken)


def whose_word(book, item):
    given = item["givens"]
    spoken = book.speaking(given["method"], given["profile"])
    return meaning(item, next((r["refer_to"] for r in spoken if r["refer_to"]), "nobody"))


def graver(book, item):
    """What the graver of the rules that speak says to do."""
    given = item["givens"]
    spoken = book.speaking(given["method"], given["profile"])
    gravest = max(spoken, key=lambda rule: GRAVITY.index(rule["verdict"]))
    return chosen(item, lambda text: text == gravest["do"])


def words(book, item):
    """Say what you see, name nothing, do not treat or hide, say what comes next."""
    lines = item["givens"]["lines"]

    def fits(text):
        does = lines[text]
        careful = does["says_what_is_seen"] and does["sends"]
        return careful and not does["names_a_disease"] and not does["harms"]

    return chosen(item, fits)


def care(book, item):
    method = item["givens"]["method"]
    held = {line["text"] for line in book.care if method in line["holds_for"]}
    return chosen(item, lambda text: text in held)


def what_now(book, item):
    """What the trouble says to do, whoever the client is."""
    trouble = book.troubles[item["givens"]["trouble"]]
    right = [_any_client(text) for text in trouble["do"]]
    return chosen(item, lambda text: any(one.fullmatch(text) for one in right))


def _any_client(text):
    """A text whose places for the client's words take any words."""
    return re.compile(".+".join(map(re.escape, re.split(r"\{\{.*?\}\}", text))))


JUDGED = {
    "offer_verdict": booking,
    "detail_that_matters": detail,
    "still_to_ask": open_question,
    "what_would_change": way_back,
    "whom_to_send": whose_word,
    "graver_of_two": graver,
    "words_for_client": words,
    "care_sheet": care,
    "when_stuck": what_now,
    "first_aid": what_now,
    "tampered_set": what_now,
}
