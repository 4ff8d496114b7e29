"""One box of the heat map: a sign for each service, and the same in words."""

from collections.abc import Mapping
from functools import lru_cache

from markupsafe import Markup

from trainer.use_cases.see_team import Cell
from trainer.web.words import ANSWER_WORDS, SERVICE_WORDS

SIGNS = {"cleared": "●", "supervised_only": "◐", "not_cleared": "–"}


def heat_box(cells: Mapping[str, Cell]) -> Markup:
    """The table cell for one person and method."""
    return _box(tuple((service, cell.answer) for service, cell in cells.items()))


@lru_cache(maxsize=512)
def _box(answers: tuple[tuple[str, str], ...]) -> Markup:
    signs = Markup("").join(
        Markup('<i class="{}">{}</i>').format(answer, SIGNS[answer]) for _, answer in answers
    )
    words = Markup('<span class="hidden-words">{}</span>').format(_words(answers))
    return Markup('<td><span class="signs" aria-hidden="true">{}</span>{}</td>').format(
        signs, words
    )


def _words(answers: tuple[tuple[str, str], ...]) -> str:
    said = []
    for answer, words in ANSWER_WORDS.items():
        names = [SERVICE_WORDS[service].lower() for service, one in answers if one == answer]
        if len(names) == len(answers):
            return words
        if names and answer != "not_cleared":
            said.append(f"{words}: {', '.join(names)}")
    return ". ".join(said)
