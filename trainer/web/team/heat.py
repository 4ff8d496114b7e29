"""One box of the heat map: a sign for each service, and the same in words."""

from collections.abc import Mapping
from functools import lru_cache

from markupsafe import Markup

from trainer.core.records.asked import Answer
from trainer.use_cases.see_team import Cell
from trainer.web.words import ANSWER_WORDS, SERVICE_WORDS

SIGNS = {"cleared": "●", "supervised_only": "◐", "not_cleared": "–"}


def heat_boxes(methods: Mapping[str, Mapping[str, Cell]]) -> Markup:
    """The table cells for one person, a box a method."""
    told = (tuple(cell.answer for cell in cells.values()) for cells in methods.values())
    return Markup("").join(_box(answers) for answers in told)


@lru_cache(maxsize=512)
def _box(answers: tuple[Answer, ...]) -> Markup:
    signs = Markup("").join(
        Markup('<i class="{}">{}</i>').format(answer, SIGNS[answer]) for answer in answers
    )
    words = Markup('<span class="hidden-words">{}</span>').format(_words(answers))
    return Markup('<td><span class="signs" aria-hidden="true">{}</span>{}</td>').format(
        signs, words
    )


def _words(answers: tuple[Answer, ...]) -> str:
    said = []
    for answer, words in ANSWER_WORDS.items():
        told = zip(SERVICE_WORDS.values(), answers, strict=True)
        names = [service.lower() for service, one in told if one == answer]
        if len(names) == len(answers):
            return words
        if names and answer != "not_cleared":
            said.append(f"{words}: {', '.join(names)}")
    return ". ".join(said)
