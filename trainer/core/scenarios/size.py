"""How long a question may be: what is read between two clients, on a phone."""

from trainer.core.items.item import Item

MOST_WORDS, MOST_IN_ALL = 90, 150
"""Words in the stem; words in stem and answers. Judged."""


def words_in(item: Item) -> tuple[int, int]:
    """Words in the stem, and in all that is read at once.

    Of a consultation, what to say is asked on a page of its own: its longer part counts.
    """
    stem = len(item.stem.split())
    answers = sum(len(option.text.split()) for option in item.options)
    return stem, max(stem, answers) if item.heading.type == "consultation" else stem + answers


def too_long(item: Item) -> bool:
    """Whether it has more words than may be asked of a reader."""
    stem, whole = words_in(item)
    return stem > MOST_WORDS or whole > MOST_IN_ALL
