"""Begin an assessment that was opened: only now is there a form, and only now the clock runs."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.store import admissions, sittings
from trainer.store.admissions import BEGUN, OPENED, AdmissionRow
from trainer.store.sittings import MAIN
from trainer.store.unit import Unit
from trainer.use_cases.accommodate import granted_in
from trainer.use_cases.ask_to_sit import lapsed, settle
from trainer.use_cases.keep_log import log
from trainer.use_cases.know_standard import cut_of
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.sit_assessment import Prepared, fingerprint, with_difficulty


def begin(unit: Unit, bank: Bank, method: str, prepared: Prepared, now: datetime) -> str:
    """Begin the viewer's sitting and give its id; the unfinished one's if there is one.

    Raises InputProblem where it is not open to the viewer.
    """
    person_id = unit.viewer.person_id
    open_one = sittings.unfinished(unit, person_id, method)
    if open_one is not None:
        return open_one.id
    row = _opened(unit, bank, method, prepared, now)
    items = with_difficulty(unit, prepared.items)
    values = _values(unit, bank, row, prepared, items, now)
    begun = sittings.open_once(unit, values, items)
    settle(row, BEGUN)
    row.sitting_id = begun
    unit.session.flush()
    body = {
        "sitting": begun,
        "admission": row.id,
        "method": method,
        "kind": prepared.kind,
        "items": len(items),
        "minutes": values["minutes"],
        "form": values["fingerprint"],
        "opened_by": row.decided_by or "",
    }
    log(unit, "sitting.begun", body, now, person_id=person_id)
    return begun


def _values(
    unit: Unit,
    bank: Bank,
    row: AdmissionRow,
    prepared: Prepared,
    items: Sequence[Mapping[str, Any]],
    now: datetime,
) -> dict[str, Any]:
    granted, blueprint = granted_in(row), prepared.blueprint
    minutes = granted.minutes(blueprint.minutes)
    cut, basis = cut_of(unit, row.method, blueprint, items)
    return {
        "id": prepared.id,
        "person_id": row.person_id,
        "organisation_id": row.organisation_id,
        "method": row.method,
        "blueprint": blueprint.name,
        "state": MAIN,
        "unfinished": f"{row.person_id}:{row.method}",
        "opened_at": now,
        "closes_at": now + timedelta(minutes=minutes),
        "minutes": minutes,
        "bank_version": bank.version,
        "fingerprint": fingerprint(prepared.items),
        "most": len(prepared.items),
        "cut": cut,
        "outcome": {"moved": list(prepared.moved)} | basis,
        "opened_by": row.decided_by,
        "counts": row.decided_by is not None,
        "pauses": granted.pauses,
        "pause_minutes": granted.pause_minutes,
        "larger_type": granted.larger_type,
    }


def _opened(unit: Unit, bank: Bank, method: str, prepared: Prepared, now: datetime) -> AdmissionRow:
    row = admissions.pending(unit, unit.viewer.person_id, method)
    if row is None or row.state != OPENED or lapsed(row, now):
        raise InputProblem(
            "nobody has opened it for you yet", bank.methods[method].name, "Ask your instructor."
        )
    if (row.organisation_id, row.kind) != (unit.viewer.organisation_id, prepared.kind):
        raise InputProblem(
            "another one was opened for you", bank.methods[method].name, "Go back and look again."
        )
    return row
