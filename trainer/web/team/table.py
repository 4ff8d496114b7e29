"""The lines of the table: what says the same is put into words once."""

from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from flask import get_template_attribute
from markupsafe import Markup

from trainer.use_cases.see_team import Row
from trainer.web.words import ANSWER_WORDS, SERVICE_WORDS, address_of, day, method_name

SINCE = {"competent": "until", "expired": "on"}


class Shown(NamedTuple):
    """One line in words; `address` asks the desk about it."""

    address: str
    name: str
    method: str
    service: str
    standing: Markup
    today: str


def shown(rows: Iterable[Row], today: date) -> list[Shown]:
    """Lines as the page shows them. Ids need no escaping: they are letters and digits."""
    desk, on = address_of("clearance.ask"), today.isoformat()
    return [
        Shown(
            f"{desk}?person={row.person_id}&method={row.method}&service={row.service}&on={on}",
            row.name,
            method_name(row.method),
            SERVICE_WORDS[row.service],
            _standing(row.cell.standing.word, row.cell.standing.day),
            ANSWER_WORDS[row.cell.answer].lower(),
        )
        for row in rows
    ]


@lru_cache(maxsize=4096)
def _standing(word: str, until: date | None) -> Markup:
    said = Markup(' <span class="small quiet">{} {}</span>') if until else Markup("")
    pill: Markup = get_template_attribute("parts/show.html", "pill")(word)
    return pill + said.format(SINCE.get(word, "since"), day(until))
