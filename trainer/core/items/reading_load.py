"""How much there is to read in an item, and how long one usually takes over it."""

from trainer.core.items.item import Item

WORDS_A_MINUTE = 238
"""Silent reading of English non-fiction by adults (Brysbaert 2019, Journal of Memory and
Language 109)."""
SETTLING = {"choose_one": 20.0, "choose_all": 35.0, "put_in_order": 45.0, "number": 45.0}
OTHERWISE = 30.0
"""Seconds to decide once it is read, by type; judged, until sittings say how long it takes."""


def words_of(item: Item) -> int:
    """Words of the question and its options."""
    return sum(len(text.split()) for text in (item.stem, *(one.text for one in item.options)))


def seconds_of(item: Item) -> float:
    """Seconds that the item usually takes: reading, then deciding."""
    reading = words_of(item) * 60 / WORDS_A_MINUTE
    return reading + SETTLING.get(item.heading.type, OTHERWISE)
