"""The lines of the table: up to 700 on a page, so what says the same is put into words once."""

from collections.abc import Iterable
from datetime import date
from functools import lru_cache

from flask import get_template_attribute
from markupsafe import Markup, escape

from trainer.use_cases.see_team import Row
from trainer.web.words import ANSWER_WORDS, SERVICE_WORDS, address_of, day

SINCE = {"competent": "until", "expired": "on"}


def table_lines(rows: Iterable[Row], methods: dict[str, str], today: date) -> Markup:
    """A line for each; its name asks the desk about it. `methods`: id -> what it is called."""
    desk, on = address_of("clearance.ask"), today.isoformat()
    lines = []
    for person_id, name, method, service, (answer, standing) in rows:
        asked = f"person={person_id}&amp;method={method}&amp;service={service}&amp;on={on}"
        lines.append(
            f'<tr><th scope="row"><a href="{desk}?{asked}" translate="no">{escape(name)}</a></th>'
            f"{_about(methods[method], service)}{_standing(standing.word, standing.day)}"
            f'<td data-label="Today">{ANSWER_WORDS[answer].lower()}</td></tr>'
        )
    return Markup("\n".join(lines))  # noqa: S704  names are escaped, ids are letters and digits


@lru_cache(maxsize=512)
def _about(method: str, service: str) -> Markup:
    cells = Markup('<td data-label="Method">{}</td><td data-label="Service">{}</td>')
    return cells.format(method, SERVICE_WORDS[service])


@lru_cache(maxsize=4096)
def _standing(word: str, until: date | None) -> Markup:
    said = Markup(' <span class="small quiet">{} {}</span>') if until else Markup("")
    pill = get_template_attribute("parts/show.html", "pill")(word)
    end = said.format(SINCE.get(word, "since"), day(until))
    return Markup('<td data-label="Standing">{}{}</td>').format(pill, end)
