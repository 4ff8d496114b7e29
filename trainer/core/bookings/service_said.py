"""Which service the words of a booking plainly name, to be confirmed by the salon.

The words are those of the trade: common practice, no source.
"""

from collections.abc import Mapping

from trainer.core.bookings.matching import Words

BEGINNINGS: Mapping[str, tuple[str, ...]] = {
    "consult": ("consult", "colour match", "color match"),
    "fit": ("fit", "full head", "half head", "install", "appl", "new set"),
    "maintain": ("maint", "refit", "re fit", "retap", "re tap", "move up", "tighten", "infill"),
    "remove": ("remov", "take out", "take down", "takedown"),
    "aftercare": ("aftercare", "after care"),
}
"""Service -> what a word, or two, begin with."""


def service_said(words: Words) -> str:
    """Tell which service words name.

    Parameters
    ----------
    words : As `words_of` gives them.

    Returns
    -------
    A service; '' where they name none, or more than one.
    """
    text = " " + " ".join(words)
    named = [
        service for service, all_ in BEGINNINGS.items() if any(f" {one}" in text for one in all_)
    ]
    return named[0] if len(named) == 1 else ""
