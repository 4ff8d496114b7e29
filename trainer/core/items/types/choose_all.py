"""Choose all that apply: every option is judged by itself."""

from collections.abc import Mapping, Sequence

from trainer.core.draw import Draw
from trainer.core.items.exported import (
    CRITICAL,
    RESPONSE,
    SCORE,
    Exported,
    base,
    el,
    of,
    put,
    response,
    var,
    when,
)
from trainer.core.items.exporting import choices
from trainer.core.items.item import Draft, Heading, Item, Json, Mark, Offer
from trainer.core.items.types.lettered import (
    item_of,
    lettered,
    offers_of,
    same_twice,
    text_of,
    without_belief,
    wrongs,
)
from trainer.core.problems import InputProblem


class ChooseAll:
    """Key: the ids of all right options, in order. Response: the same.

    The score is the share of options judged rightly, but a response that is not wholly right
    never reaches 1. Missing a keyed option of a critical item is a critical error; an extra
    caution is not.
    """

    name = "choose_all"

    def compose(self, heading: Heading, draft: Draft, draw: Draw) -> Item:
        options = lettered(draft, draw)
        key = [letter for letter, offer in options if offer.right]
        beliefs, notes = wrongs(options)
        for letter, offer in options:
            if offer.right and offer.misconception:
                beliefs[letter] = offer.misconception
            if offer.right and offer.note:
                notes[letter] = offer.note
        return item_of(heading, draft, options, key, beliefs, notes)

    def read(self, sent: Mapping[str, Sequence[str]], item: Item) -> Json:
        return self.accept(list(sent.get("choice", ())), item)

    def accept(self, response: Json, item: Item) -> Json:
        known = [option.id for option in item.options]
        if not isinstance(response, list) or any(one not in known for one in response):
            raise InputProblem("is not among the answers", "choice", "Tick answers that are shown.")
        if not response:
            raise InputProblem("nothing is ticked", "choice", "Tick at least one answer.")
        return [one for one in known if one in response]

    def mark(self, item: Item, response: Json) -> Mark:
        missed = [option for option in item.key if option not in response]
        extra = [option for option in response if option not in item.key]
        wrong = (*missed, *extra)
        beliefs = dict.fromkeys(item.misconceptions[o] for o in wrong if o in item.misconceptions)
        score = 1 - len(wrong) / len(item.options)
        return Mark(score, item.critical and bool(missed), tuple(beliefs), wrong)

    def unfit(self, offers: Sequence[Offer]) -> list[str]:
        found = same_twice(offers)
        if not 0 < sum(offer.right for offer in offers) < len(offers):
            found.append("all or none of the options are right")
        if len(offers) < 2 * 2:
            found.append(f"only {len(offers)} options")
        return found + without_belief(offers)

    def faults(self, item: Item) -> list[str]:
        return self.unfit(offers_of(item))

    def chance(self, item: Item) -> float:
        return float(0.5 ** len(item.options))

    def say_key(self, item: Item) -> list[str]:
        return [text_of(item, option) for option in item.key]

    def say_response(self, item: Item, response: Json) -> list[str]:
        return [text_of(item, option) for option in response] or ["Nothing ticked"]

    def export(self, item: Item) -> Exported:
        each = 1 / len(item.options)
        worth = {o.id: each if o.id in item.key else -each for o in item.options}
        given = response(RESPONSE, "multiple", "identifier", item.key)
        entries = (el("qti-map-entry", map_key=o, mapped_value=w) for o, w in worth.items())
        given.append(el("qti-mapping", *entries, default_value=0))
        missed = of("not", of("contains", var(), el("qti-correct", identifier=RESPONSE)))
        unticked_rightly = base("float", 1 - each * len(item.key))
        rules = [
            put(SCORE, of("sum", unticked_rightly, el("qti-map-response", identifier=RESPONSE)))
        ]
        if item.critical:
            rules.append(when((missed, [put(CRITICAL, base("float", 1))])))
        asked = "Choose every one that applies."
        return Exported(
            (given,),
            (choices(item, "qti-choice-interaction", asked, max_choices=0, min_choices=1),),
            el("qti-response-processing", *rules),
        )


TYPE = ChooseAll()
