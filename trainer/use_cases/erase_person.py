"""Take a person out of the site, for good: everything about them but what DEVELOPERS.md says stays.

General Data Protection Regulation (EU) 2016/679, article 17, from memory of its text: (3)(b) and
(e) let stay what a task in the public interest or legal claims need. That is a record's number,
method, days and whether it counts; what the person did to others' work, by a number; and the log's
chain, which holds hashes only.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from trainer.core.records.record import without_holder
from trainer.store import erasures, evidence_photos, people, records
from trainer.store.erasures import ErasureRow
from trainer.store.people import PersonRow
from trainer.store.personal import entries_about, erase_rows
from trainer.store.unit import Unit
from trainer.use_cases import keep_log
from trainer.use_cases.ask_to_leave import enter, to_decide
from trainer.use_cases.keep_photos import Album
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.sign_in import forget_tries

NOBODYS = "erased.invalid"
"""A domain that is nobody's for ever (RFC 2606), for a column that differs in every row."""
WHY = "A person was taken out of the site (GDPR, article 17)."


@dataclass(frozen=True, slots=True)
class Erased:
    """What was done. `email` is told for the last time, so that the person can be told.

    `rows`: how many rows of each table were deleted or blanked; `entries`: of the log.
    """

    number: int
    person_id: str
    email: str
    rows: Mapping[str, int]
    entries: int
    photos: int


def carry_out(unit: Unit, album: Album, erasure_id: str, typed: str, now: datetime) -> Erased:
    """Do it once its day has come. `typed`: the person's address, written out.

    Raises NotFound, Forbidden, InputProblem naming the field.
    """
    row = to_decide(unit, erasure_id)
    if row.due_on is None or row.due_on > now.date():
        raise InputProblem("Its day has not come", "typed", "Wait until then.")
    _must_be(people.person(unit, row.person_id), typed)
    return _erase(unit, album, row, now)


def erase_now(unit: Unit, album: Album, who: str, typed: str, now: datetime) -> Erased:
    """The same from the machine itself, at once. `who`: address or id. Raises InputProblem."""
    person = known(unit, who)
    _must_be(person, typed)
    return _erase(unit, album, enter(unit, person.id, now), now)


def known(unit: Unit, who: str) -> PersonRow:
    """A person by address or id. Raises InputProblem."""
    found = people.by_email(unit, who.strip())
    try:
        return found or people.person(unit, who.strip())
    except NotFound:
        raise InputProblem(
            "Nobody has this address or id", "WHO", "See `trainer users list`."
        ) from None


def _must_be(person: PersonRow, typed: str) -> None:
    if typed.strip().casefold() != person.email:
        raise InputProblem("This is not their address", "typed", f"Write {person.email} in full.")


def _erase(unit: Unit, album: Album, row: ErasureRow, now: datetime) -> Erased:
    person = people.person(unit, row.person_id)
    records.alone(unit, person.id)
    email, houses = person.email, [one.id for one in people.organisations_of(unit, person.id)]
    photos = evidence_photos.files_about(unit, person.id)
    for record in records.held(unit, person.id):
        record.document = json.dumps(without_holder(json.loads(record.document)))
    forget_tries(unit, person.id, email)
    entries = entries_about(unit, person.id)
    keep_log.erase(unit, entries, WHY, now)
    rows = erase_rows(unit, person.id)
    number = erasures.next_number(unit)
    row.number, row.done_at, row.done_by = number, now, unit.viewer.person_id
    row.organisation_id = unit.viewer.organisation_id or None
    _by_number(person, number, now)
    unit.flush()
    for house in houses or [""]:
        body = {"person": person.id, "number": number}
        keep_log.log(unit, "person.erased", body, now, person_id=person.id, organisation_id=house)
    for photo in photos:
        album.drop(photo)
    return Erased(number, person.id, email, rows, len(entries), len(photos))


def _by_number(person: PersonRow, number: int, now: datetime) -> None:
    """No name, no way in, no open visit."""
    person.name, person.email = f"Person no. {number}", f"{person.id}@{NOBODYS}"
    person.password_hash, person.disabled_at = "", now
    person.visit += 1
