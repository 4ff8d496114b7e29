"""Choose one: exactly one option is right."""

from collections.abc import Mapping, Sequence

from trainer.core.draw import Draw
from trainer.core.items.exported import (
    RESPONSE,
    Exported,
    base,
    of,
    response,
    var,
)
from trainer.core.items.exporting import by_correct, choices
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

FEWEST, MOST = 3, 6


class ChooseOne:
    """Key: a list with one option id. Response: the same."""

    name = "choose_one"

    def compose(self, heading: Heading, draft: Draft, draw: Draw) -> Item:
        options = lettered(draft, draw)
        key = [letter for letter, offer in options if offer.right]
        return item_of(heading, draft, options, key, *wrongs(options))

    def read(self, sent: Mapping[str, Sequence[str]], item: Item) -> Json:
        return self.accept(list(sent.get("choice", ())), item)

    def accept(self, response: Json, item: Item) -> Json:
        known = [option.id for option in item.options]
        if not isinstance(response, list) or len(response) != 1 or response[0] not in known:
            raise InputProblem("needs exactly one of the answers", "choice", "Choose one answer.")
        return response

    def mark(self, item: Item, response: Json) -> Mark:
        if response == item.key:
            return Mark(1.0)
        belief = item.misconceptions.get(response[0], "")
        beliefs = (belief,) if belief else ()
        return Mark(0.0, item.injured_by(beliefs), beliefs, tuple(response))

    def unfit(self, offers: Sequence[Offer]) -> list[str]:
        found = same_twice(offers)
        right = sum(offer.right for offer in offers)
        if right != 1:
            found.append(f"{right} right options where one is asked for")
        if not FEWEST <= len(offers) <= MOST:
            found.append(f"{len(offers)} options")
        return found + without_belief(offers)

    def faults(self, item: Item) -> list[str]:
        return self.unfit(offers_of(item))

    def chance(self, item: Item) -> float:
        return 1 / len(item.options)

    def say_key(self, item: Item) -> list[str]:
        return [text_of(item, option) for option in item.key]

    def say_response(self, item: Item, response: Json) -> list[str]:
        return [text_of(item, option) for option in response]

    def export(self, item: Item) -> Exported:
        wrong = [option.id for option in item.options if option.id not in item.key]
        return Exported(
            (response(RESPONSE, "single", "identifier", item.key),),
            (choices(item, "qti-choice-interaction", "Choose one.", max_choices=1, min_choices=1),),
            by_correct(item, {w: of("match", var(), base("identifier", w)) for w in wrong}),
        )


TYPE = ChooseOne()
