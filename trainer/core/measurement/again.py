"""When something that went wrong comes back: soon, but not at once.

A wrong answer is tried again on a fresh case after three to six other scenarios: a test of
recall some way off teaches more than one at once (Roediger & Karpicke 2006, Psychological
Science 17(3), 249-255, on testing; Cepeda and others 2006, Psychological Bulletin 132(3),
354-380, on spacing). The three and the six are judged, for sets of about twenty.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from trainer.core.draw import Draw

LEAST_BETWEEN, MOST_BETWEEN = 3, 6


@dataclass(frozen=True, slots=True)
class Past:
    """A scenario that was shown: its family, and whether it was answered right.

    `right` is None while it is not answered.
    """

    family: str
    right: bool | None


def owed(past: Sequence[Past], here: Collection[str]) -> list[tuple[int, str]]:
    """Families that went wrong and have not come back: (scenarios since, family), oldest first.

    `past` is newest first; only families in `here` count. A later scenario of the same family
    with at least three others between is its return.
    """
    found = []
    for since, one in enumerate(past):
        back = any(
            later.family == one.family and since - place > LEAST_BETWEEN
            for place, later in enumerate(past[:since])
        )
        if one.right is False and one.family in here and not back:
            found.append((since, one.family))
    return found[::-1]


def due_again(past: Sequence[Past], here: Collection[str], draw: Draw) -> str:
    """The family that comes back now, '' if none does.

    After three others it comes by chance, each of the places from three to six as likely;
    after six it comes for sure. Of several the one that waits longest is asked first. As each
    answer has a last place of its own, on one topic none has to wait for more than six.
    """
    for since, family in owed(past, here):
        left = MOST_BETWEEN - since
        if since >= LEAST_BETWEEN and (left <= 0 or draw.chance(1 / (left + 1))):
            return family
    return ""
