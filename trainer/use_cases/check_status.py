"""Look again whether a record from elsewhere still holds: on the salon's click, and never else."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from trainer.core.records.keys import read_keys
from trainer.core.records.strict_json import Repeated, read_json
from trainer.core.records.verify import BIT_SET, PASSED, Verification, verify
from trainer.store import accepted_issuers, outside_records, team_summaries
from trainer.store.outside_records import OutsideRecordRow
from trainer.store.unit import Unit
from trainer.use_cases.accept_issuer import keys_of
from trainer.use_cases.fetch_outside import Door
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS

IN_FORCE, MARKED = "in_force", "marked"
REVOCATION = "revocation"


@dataclass(frozen=True)
class Outcome:
    """How a look at the status came out: `state` in_force, marked, or '' where it is not known."""

    state: str
    said: str


def lists_of(unit: Unit, record_id: str) -> Sequence[str]:
    """Where the status of a kept record stands. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return outside_records.record(unit, record_id).lists


def fetched(addresses: Sequence[str], door: Door) -> list[bytes]:
    """The status lists as they stand now. Raises InputProblem that says what went wrong."""
    if not addresses:
        raise InputProblem("It names no status list", "status", "Only its issuer can tell.")
    return [door.fetch(address).content for address in addresses]


def check(
    unit: Unit, record_id: str, lists: Sequence[bytes], now: datetime, holds_days: int
) -> Outcome:
    """Note what its issuer's lists say of a record; a mark and its lifting are logged.

    `holds_days`: how long a good answer is enough. Nothing changes where they cannot be relied on.
    """
    unit.viewer.must_be(*ASKERS)
    row = outside_records.record(unit, record_id)
    found = _verified(unit, row, lists, now)
    if BIT_SET in found.reasons:
        return _note(unit, row, MARKED, found.reasons[0], now, holds_days)
    if found.checks["status"] != PASSED:
        return Outcome("", " ".join(found.reasons))
    if row.state == MARKED and _is_final(row):
        return Outcome(MARKED, "It was marked before, and a withdrawal is never taken back.")
    return _note(unit, row, IN_FORCE, "It is not marked on its issuer's list.", now, holds_days)


def _verified(
    unit: Unit, row: OutsideRecordRow, lists: Sequence[bytes], now: datetime
) -> Verification:
    accepted = accepted_issuers.of_issuer(unit, row.issuer)
    keys = keys_of(accepted) if accepted else read_keys(row.issuer)
    return verify(row.document.encode(), keys, lists, now)


def _note(
    unit: Unit, row: OutsideRecordRow, state: str, said: str, now: datetime, holds_days: int
) -> Outcome:
    if state != row.state:
        row.state, row.state_since = state, now
        body = {"record": row.id, "state": state}
        log(unit, "outside_record.state", body, now, person_id=row.person_id)
    row.checked_at = now
    row.counts_until = (now + timedelta(days=holds_days)).date()
    team_summaries.forget(unit)
    return Outcome(state, said)


def _is_final(row: OutsideRecordRow) -> bool:
    """Whether its entry is of the kind that is never taken back (Bitstring Status List, 2.2)."""
    try:
        declared = read_json(row.document.encode(), "record").get("credentialStatus")
    except Repeated:
        return True
    entries = declared if isinstance(declared, list) else [declared]
    return any(one.get("statusPurpose") == REVOCATION for one in entries if isinstance(one, dict))
