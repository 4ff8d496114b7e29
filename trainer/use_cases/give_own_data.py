"""Everything kept about the viewer, for the viewer alone."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from trainer.core.exchange.own_data import compose_own_data
from trainer.store import observations
from trainer.store.personal import rows_about
from trainer.store.sittings import DONE
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import Forbidden

Row = dict[str, Any]
SHOWN = ("type", "method", "service", "topic", "level", "stem", "options")
"""What of a question its reader has seen; the right answer stays with those who examine."""
SHEET = ("ticks", "notes", "met", "next_step")
CLOSED = "closed until the second sheet is signed"
WORDS = """Everything kept about {name} ({email}) on {day}.

everything.json holds all of it; tables/ holds the same as tables for a spreadsheet.
Days and moments are written year-month-day, in UTC. An id names somebody or something else.

  persons, memberships, group_members   who you are here and where you belong
  shown_items, responses, consultations what you practised, what you answered, how it was marked
  competencies, memories, wrong_ideas   what your answers say, as it was worked out
  sittings, sitting_items, sitting_decisions   assessments, your answers, decisions and reasons
  observations, evidence_photos, acceptances   work that was watched, and evidence that counted
  standings, records                    where you stand, and every record issued to you
  event_bodies                          the log's entries about you
The rest is named by what it holds.

Not in it: secrets (passwords and links, of which only a trace is kept), right answers to
questions, a sitting that is still open, and what is about other people. Photos of work show
clients: ask whoever took them.
"""


def give_own_data(unit: Unit, now: datetime) -> bytes:
    """The zip of all that is kept about the viewer; that it was given stands in the log."""
    person_id = unit.viewer.person_id
    if not person_id:
        raise Forbidden
    log(unit, "person.data_given", {"person": person_id}, now, person_id=person_id)
    unit.flush()
    tables: dict[str, list[Row]] = dict(rows_about(unit, person_id))
    (me,) = tables["persons"]
    finished = {row["id"] for row in tables["sittings"] if row["state"] == DONE}
    tables["sitting_items"] = [r for r in tables["sitting_items"] if r["sitting_id"] in finished]
    said = {name: [_said(unit, name, row) for row in rows] for name, rows in tables.items()}
    words = WORDS.format(name=me["name"], email=me["email"], day=now.date())
    return compose_own_data(said, words)


def _said(unit: Unit, table: str, row: Row) -> Row:
    say = SAYING.get(table)
    return say(unit, row) if say else row


def _question(unit: Unit, row: Row) -> Row:
    kept: Mapping[str, Any] = row["kept"]
    shown = {name: kept[name] for name in SHOWN if name in kept}
    return {name: value for name, value in row.items() if name != "kept"} | {"question": shown}


def _sheet(unit: Unit, row: Row) -> Row:
    """A first sheet says nothing before the second is signed: its observer has not to know."""
    if row["asks_second"] and observations.second_of(unit, row["id"]) is None:
        return row | dict.fromkeys(SHEET, CLOSED)
    return row


SAYING: Mapping[str, Callable[[Unit, Row], Row]] = {
    "shown_items": _question,
    "sitting_items": _question,
    "observations": _sheet,
}
