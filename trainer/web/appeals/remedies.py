"""How remedies are called, before and after."""

from trainer.use_cases.remedy_appeal import Remedy
from trainer.web.words import SERVICE_WORDS, day, method_name

OFFER_WORDS = {
    "set_aside": "The assessment sat on {day} is set aside: it counts for nothing, and they may "
    "sit again without a wait",
    "no_wait": "The result of {day} stands, and they may sit again without a wait",
    "question": "Question {number} of the assessment sat on {day} is faulty: it counts no more, "
    "and the result is worked out again",
    "reinstate": "The record for {method}, suspended on {day}, holds again: a new one is issued",
    "watch_again": "{service}, {method}, watched on {day}: the sheet is set aside, and another "
    "instructor watches it again",
    "unsign": "{service}, {method}, watched on {day} and signed as competent: the sheet is set "
    "aside, a record that rests on it is suspended, and another instructor watches it again",
    "none": "None of these: the answer says what follows",
}
DONE_WORDS = {
    "set_aside": "The assessment is set aside, and may be sat again without a wait.",
    "no_wait": "The assessment may be sat again without a wait.",
    "question": "A question counts no more, and the result was worked out again.",
    "watch_again": "The sheet is set aside. Another instructor watches the work again.",
    "unsign": "The sheet that said competent is set aside, and a record that rested on it is "
    "suspended. Another instructor watches the work again.",
    "reinstate": "The suspension is lifted, and a new record issued.",
}


def remedy_words(one: Remedy) -> str:
    """One remedy as it is offered."""
    method = method_name(one.method).lower()
    service = SERVICE_WORDS.get(one.service, "")
    words = OFFER_WORDS[one.kind]
    return words.format(day=day(one.on), number=one.position, method=method, service=service)
