"""A holder's own links to a record: what each shows is the holder's to say, and each can be ended.

Nobody who opens one is recorded.
"""

import secrets
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from trainer.core.knowledge.bank import Bank
from trainer.core.records.record import BANK_WORDS, FORM_WORDS, SCORE_WORDS, SURE_WORDS
from trainer.store import records, shared_links
from trainer.store.base import new_id
from trainer.store.unit import Unit
from trainer.use_cases.issuer_names import Issuers
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.verify_record import Shown, show

NAME, SCORE, OBSERVERS = "name", "score", "observers"
OF_THE_SCORE = (SCORE_WORDS, SURE_WORDS, FORM_WORDS, BANK_WORDS)
"""A form's fingerprint would tell two links to one record from two records."""
PARTS = (NAME, SCORE, OBSERVERS)
TOKEN_BYTES = 24
LONGEST_LABEL = 60
MOST_LINKS = 20
SEEN = "Watched at the chair and signed off; all critical criteria met."


@dataclass(frozen=True)
class View:
    """What one reader sees: the record with parts left out. `whole` when nothing is."""

    shown: Shown
    shows: frozenset[str]

    @property
    def whole(self) -> bool:
        """Whether the signed file, which says everything, may be handed out too."""
        return self.shows == set(PARTS)


@dataclass(frozen=True)
class Link:
    """One open link as its holder sees it."""

    id: str
    token: str
    label: str
    shows: Sequence[str]
    made_at: datetime


def make_link(unit: Unit, record_id: str, label: str, shows: Sequence[str], now: datetime) -> str:
    """Make a link to one of the viewer's own records; gives back its secret part."""
    row = _own(unit, record_id)
    if len(shared_links.of_record(unit, record_id)) >= MOST_LINKS:
        remedy = "End one that you no longer need."
        raise InputProblem(f"There are {MOST_LINKS} open links already", "link", remedy)
    if not set(shows) <= set(PARTS) or len(label) > LONGEST_LABEL:
        raise InputProblem("What it shows is not one of the choices", "link", "Choose again.")
    kept = shared_links.SharedLinkRow(
        id=new_id(),
        token=secrets.token_urlsafe(TOKEN_BYTES),
        record_id=record_id,
        made_at=now,
        label=label.strip(),
        shows=[part for part in PARTS if part in shows],
    )
    shared_links.keep(unit, kept)
    _tell(unit, "record.link_made", row, {"link": kept.id, "shows": kept.shows}, now)
    return kept.token


def end_link(unit: Unit, record_id: str, link_id: str, now: datetime) -> None:
    """End a link to one of the viewer's own records; twice is the same as once."""
    row = _own(unit, record_id)
    kept = shared_links.link(unit, link_id)
    if kept.record_id != record_id:
        raise NotFound
    if kept.ended_at is None:
        kept.ended_at = now
        _tell(unit, "record.link_ended", row, {"link": kept.id}, now)


def links(unit: Unit, record_id: str) -> list[Link]:
    """The open links of one of the viewer's own records, newest first. Raises NotFound."""
    _own(unit, record_id)
    return [
        Link(row.id, row.token, row.label, row.shows, row.made_at)
        for row in shared_links.of_record(unit, record_id)
    ]


def everything(unit: Unit, bank: Bank, record_id: str, issuers: Issuers, now: datetime) -> View:
    """A record by its own public page: all parts. Raises NotFound."""
    return View(show(unit, bank, record_id, issuers, now), frozenset(PARTS))


def shared(unit: Unit, bank: Bank, token: str, issuers: Issuers, now: datetime) -> View:
    """A record by a holder's link: the parts that the link shows. Raises NotFound."""
    link = shared_links.open_link(unit, token)
    shown, shows = show(unit, bank, link.record_id, issuers, now), frozenset(link.shows)
    return View(_masked(shown, shows), shows)


def _masked(shown: Shown, shows: frozenset[str]) -> Shown:
    if NAME not in shows:
        shown = replace(shown, holder="")
    if SCORE not in shows:
        told = tuple(pair for pair in shown.told if pair[0] not in OF_THE_SCORE)
        shown = replace(shown, told=told)
    if OBSERVERS not in shows:
        shown = replace(shown, evidence=tuple((name, SEEN) for name, _ in shown.evidence))
    return shown


def _own(unit: Unit, record_id: str) -> records.RecordRow:
    row = records.record(unit, record_id)
    if not unit.viewer.person_id or row.person_id != unit.viewer.person_id:
        raise NotFound
    return row


def _tell(
    unit: Unit, kind: str, row: records.RecordRow, more: dict[str, object], now: datetime
) -> None:
    body = {"record": row.id, **more}
    log(unit, kind, body, now, person_id=row.person_id, organisation_id=row.organisation_id)
