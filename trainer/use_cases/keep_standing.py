"""Keep the summary of where a person stands, and read it back for a day."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

from trainer.core.knowledge.words import SERVICES
from trainer.core.records.standing import HeldRecord, Progress, Standing, on_day, standing_on
from trainer.store import observations, records, standings
from trainer.store.unit import Unit
from trainer.use_cases.evidence import Evidence


def held(unit: Unit, person_id: str, method: str) -> list[HeldRecord]:
    """A person's records for a method, from every issuer, as the core reads them."""
    return [as_held(row) for row in records.held(unit, person_id, method)]


def as_held(row: Any) -> HeldRecord:
    """One kept record as the core reads it."""
    return HeldRecord(
        row.id,
        frozenset(row.services),
        row.valid_from.date(),
        row.valid_until.date(),
        row.state,
        row.state_since.date(),
        at=row.state_since,
    )


def refresh(unit: Unit, evidence: Evidence, person_id: str, method: str, now: datetime) -> None:
    """Work out a person's standing for every service of a method, and keep it.

    Work observed before the newest record does not count again.
    """
    known = held(unit, person_id, method)
    newest = max((one.valid_from for one in known), default=date.min)
    observed = {service: on for service, on in evidence.observed_on.items() if on > newest}
    progress = Progress(True, evidence.passed_on, frozenset(observed))
    began = {one.id: one.valid_from for one in known}
    second = observations.second_sign_offs(unit, person_id, method)
    for service in SERVICES:
        found = standing_on(now.date(), service, known, progress)
        standings.keep(
            unit,
            standings.StandingRow(
                person_id=person_id,
                method=method,
                service=service,
                word=found.word,
                day=found.day,
                record_id=found.record,
                passed_on=progress.passed_on,
                observed_on=observed.get(service),
                as_of=now,
                record_from=began.get(found.record or ""),
                second_on=second.get(service),
                taken_on=evidence.taken_on,
            ),
        )


def words_on(rows: Iterable[Any], day: date) -> Mapping[tuple[str, str, str], Standing]:
    """{(person, method, service): standing on a day} from the summary."""
    return {
        (row.person_id, row.method, row.service): on_day(
            Standing(row.word, row.day, row.record_id),
            day,
        )
        for row in rows
    }
