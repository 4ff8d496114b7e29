"""Date: a day, or any day of a window."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from xml.etree.ElementTree import Element

from trainer.core.draw import Draw
from trainer.core.items.exported import (
    RESPONSE,
    Exported,
    base,
    el,
    of,
    response,
    var,
)
from trainer.core.items.exporting import by_slips
from trainer.core.items.item import Draft, Heading, Item, Json, Mark, Offer
from trainer.core.items.types.lettered import item_of
from trainer.core.problems import InputProblem

LENGTH = 10
PATTERN = "[0-9]{4}-[0-9]{2}-[0-9]{2}"


class Date:
    """Key: an ISO date, or {'first', 'last'} with both ends right. Response: an ISO date.

    Beliefs and notes hang on the wrong dates that they lead to.
    """

    name = "date"

    def compose(self, heading: Heading, draft: Draft, draw: Draw) -> Item:
        answer = draft.answer
        if answer is None or not answer.first:
            raise ValueError(f"{heading.id}: a date without its answer")
        single = answer.last in ("", answer.first)
        key: Json = answer.first if single else {"first": answer.first, "last": answer.last}
        return item_of(heading, draft, [], key, answer.slips, answer.notes)

    def read(self, sent: Mapping[str, Sequence[str]], item: Item) -> Json:
        return self.accept((list(sent.get("date", ())) or [""])[0].strip(), item)

    def accept(self, response: Json, item: Item) -> Json:
        try:
            return date.fromisoformat(response).isoformat()
        except (TypeError, ValueError):
            raise InputProblem(
                "is not a date", "date", "Write it as year-month-day, like 2026-03-24."
            ) from None

    def mark(self, item: Item, response: Json) -> Mark:
        first, last = ends(item.key)
        if first <= response <= last:
            return Mark(1.0)
        belief = item.misconceptions.get(response, "")
        beliefs = (belief,) if belief else ()
        return Mark(0.0, item.injured_by(beliefs), beliefs, (response,))

    def unfit(self, offers: Sequence[Offer]) -> list[str]:
        return []

    def faults(self, item: Item) -> list[str]:
        first, last = ends(item.key)
        found = [] if first <= last else ["the window ends before it begins"]
        found += [
            f"the slip {d} would count as right" for d in item.misconceptions if first <= d <= last
        ]
        return found

    def chance(self, item: Item) -> float:
        return 0.0

    def say_key(self, item: Item) -> list[str]:
        first, last = ends(item.key)
        return (
            [day_in_words(first)]
            if first == last
            else [f"Any day from {day_in_words(first)} to {day_in_words(last)}"]
        )

    def say_response(self, item: Item, response: Json) -> list[str]:
        return [day_in_words(response)]

    def export(self, item: Item) -> Exported:
        first, last = ends(item.key)
        asked = el(
            "p",
            "Write the day as year-month-day, like 2026-03-24: ",
            el(
                "qti-text-entry-interaction",
                response_identifier=RESPONSE,
                expected_length=LENGTH,
                pattern_mask=PATTERN,
            ),
        )
        right = of("pattern-match", var(), pattern="|".join(_days(first, last)))
        slips = [(_is(day), belief) for day, belief in item.misconceptions.items()]
        return Exported(
            (response(RESPONSE, "single", "string", [first]),),
            (asked,),
            by_slips(item, right, slips),
        )


def _is(day: str) -> Element:
    return of("string-match", var(), base("string", day), case_sensitive="true")


def _days(first: str, last: str) -> list[str]:
    day, end = date.fromisoformat(first), date.fromisoformat(last)
    return [(day + timedelta(n)).isoformat() for n in range((end - day).days + 1)]


def ends(key: Json) -> tuple[str, str]:
    """First and last right day, as ISO dates."""
    return (key, key) if isinstance(key, str) else (key["first"], key["last"])


def day_in_words(iso: str) -> str:
    """'Tuesday 3 March 2026'."""
    day = date.fromisoformat(iso)
    return f"{day:%A} {day.day} {day:%B %Y}"


TYPE = Date()
