"""The agreement to the scheme: rights, duties, conduct, secrecy; signed before asking to sit."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.store import admissions
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import Forbidden, InputProblem
from trainer.use_cases.sign_in import Proven

TEXT = "en/agreement"


@dataclass(frozen=True, slots=True)
class Agreement:
    """The text as it now reads: (title, lines) of each section; when the viewer signed it."""

    sections: tuple[tuple[str, tuple[str, ...]], ...]
    promise: str
    version: str
    signed_at: datetime | None


def read(unit: Unit, bank: Bank) -> Agreement:
    """The agreement, for the viewer."""
    table = _table(bank)
    row = admissions.agreed(
        unit, unit.viewer.person_id, unit.viewer.organisation_id, version_of(bank)
    )
    return Agreement(
        tuple((one["title"], tuple(one["lines"])) for one in table.get("section", ())),
        table.get("promise", ""),
        version_of(bank),
        row.signed_at if row else None,
    )


def has_agreed(unit: Unit, bank: Bank, person_id: str) -> bool:
    """Whether a person signed it for the viewer's organisation, as it now reads."""
    place = unit.viewer.organisation_id
    return admissions.agreed(unit, person_id, place, version_of(bank)) is not None


def version_of(bank: Bank) -> str:
    """SHA-256 over the text: another word is another version."""
    text = json.dumps(_table(bank), sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def sign(unit: Unit, bank: Bank, proven: Proven, version: str, now: datetime) -> None:
    """Keep the viewer's signature under the text that they read. Twice changes nothing.

    Raises InputProblem where the text is another one by now.
    """
    unit.viewer.must_be("apprentice")
    if proven.person_id != unit.viewer.person_id:
        raise Forbidden("Type your own password to sign.")
    if version != version_of(bank):
        raise InputProblem("The text has changed", "agreed", "Read it again, then sign.")
    if admissions.agree(unit, version, now):
        log(unit, "scheme.agreed", {"text": version}, now, person_id=unit.viewer.person_id)


def _table(bank: Bank) -> Mapping[str, Any]:
    return bank.wording.get(TEXT, {})
