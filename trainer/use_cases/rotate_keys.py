"""Give an organisation a new signing key, and say which keys there are."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from trainer.core.records.keys import PublicKey
from trainer.store import people, records
from trainer.store.unit import Unit
from trainer.use_cases.issuer_keys import public_keys, replace_key, signer_for
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem, NotFound

SALON = "salon"


def rotate(
    unit: Unit, folder: Path, organisation_id: str, now: datetime
) -> Iterator[dict[str, Any]]:
    """Give one academy, or every academy for '', a new key; one line for each.

    Records signed before stay valid: the old public key stays listed. The event is written first,
    so that a key is never in use without one.
    """
    for academy_id in _academies(unit, organisation_id):
        old = public_keys(folder, academy_id)[0]
        body = {"old_key": old.multibase}
        log(unit, "key.rotated", body, now, organisation_id=academy_id)
        ends = dict(records.names_of_issuer(unit, academy_id))

        def still_lists(key: PublicKey, ends: dict[str, datetime] = ends) -> bool:
            return key.did in ends and ends[key.did] >= now

        old, new = replace_key(folder, academy_id, still_lists)
        yield {"organisation": academy_id, "old_key": old.multibase, "new_key": new.multibase}


def listed(unit: Unit, folder: Path, organisation_id: str = "") -> Iterator[dict[str, Any]]:
    """Every key of one academy or of all: its public half, and what it is still for."""
    for academy_id in _academies(unit, organisation_id):
        for place, key in enumerate(public_keys(folder, academy_id)):
            whole = signer_for(folder, academy_id, key) is not None
            use = "signs" if place == 0 else "signs its status list" if whole else "checks only"
            yield {"organisation": academy_id, "key": key.multibase, "use": use}


def _academies(unit: Unit, organisation_id: str) -> list[str]:
    rows = people.all_organisations(unit)
    if not organisation_id:
        return [row.id for row in rows if row.kind != SALON]
    try:
        row = people.organisation(unit, organisation_id)
    except NotFound:
        row = None
    if row is None or row.kind == SALON:
        remedy = "See `trainer users organisations`."
        raise InputProblem("names no academy", "--organisation", remedy)
    return [row.id]
