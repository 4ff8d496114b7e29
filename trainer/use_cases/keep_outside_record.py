"""Look at a record from elsewhere, keep it for a person of the house, and let it go again.

Whoever looks at it sees what it says, who signed it and whether that issuer is accepted here. It
is kept only once somebody has said whose it is, and that its holder agreed.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any
from uuid import UUID

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.elsewhere import Outside, lets_count, read_outside
from trainer.core.records.keys import DID_KEY, PublicKey, read_keys
from trainer.core.records.proof import issuer_of
from trainer.core.records.record import names_holder
from trainer.core.records.strict_json import Repeated, read_json
from trainer.core.records.verify import FAILED, NO_LIST, PASSED, Verification, verify_read
from trainer.store import accepted_issuers, outside_records, people, records, team_summaries
from trainer.store.accepted_issuers import AcceptedIssuerRow
from trainer.store.outside_records import OutsideRecordRow
from trainer.store.unit import Unit
from trainer.use_cases.accept_issuer import keys_of
from trainer.use_cases.keep_log import log
from trainer.use_cases.name_team import staff
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.roles import ASKERS

WHERE = "record"
LARGEST = 100_000  # bytes; a record of ours has about 4,000
MOST_LISTS = 3
MOST_KEPT = 2_000


@dataclass(frozen=True)
class Looked:
    """A record as it was looked at. `accepted` is the house's decision about its issuer, if any.

    `counts` are the services that it counts for here. `fits` are people of the team whose name it
    carries. `ours`: it was issued on this site, so it counts by itself; `kept`: it is kept already.
    """

    text: str
    said: Outside
    verification: Verification
    accepted: AcceptedIssuerRow | None
    counts: Sequence[str]
    fits: Sequence[str]
    ours: bool
    kept: bool

    @property
    def signed(self) -> bool:
        """Whether shape, signature and days are good; the status is another question."""
        checks = self.verification.checks
        return all(checks[one] == PASSED for one in ("shape", "proof", "time"))

    @property
    def faults(self) -> Sequence[str]:
        """What is not in order, in words; the status is looked at later."""
        return [one for one in self.verification.reasons if one != NO_LIST]


def look(unit: Unit, bank: Bank, content: bytes, now: datetime) -> Looked:
    """Look at a record. Raises InputProblem where it cannot be read or its signer not known."""
    unit.viewer.must_be(*ASKERS)
    if not content.strip() or len(content) > LARGEST:
        raise InputProblem("There is no record in it", WHERE, "Give the record's own file.")
    document = _read(content)
    issuer = issuer_of(document)
    accepted = accepted_issuers.of_issuer(unit, issuer)
    found = verify_read(document, _keys(issuer, accepted), (), now)
    if FAILED in (found.checks["shape"], found.checks["proof"]):
        raise InputProblem(found.reasons[0].rstrip("."), WHERE, "Ask the issuer for it again.")
    said = read_outside(document, bank.methods, SERVICES)
    counts = lets_count(said, accepted.methods, accepted.services) if accepted else ()
    text = content.decode("utf-8-sig").strip()
    return Looked(
        text,
        said,
        found,
        accepted,
        counts,
        [one for one, name in staff(unit) if names_holder(document, name)],
        _is_ours(unit, document),
        outside_records.by_digest(unit, _digest(text)) is not None,
    )


def keep(
    unit: Unit, bank: Bank, content: bytes, person_id: str, agreed: bool, now: datetime
) -> str:
    """Keep a record for a person of the house; gives its id. Twice is once.

    Raises InputProblem naming the field, NotFound for somebody of another house.
    """
    looked = look(unit, bank, content, now)
    person, _ = people.member(unit, person_id)
    if not agreed:
        raise InputProblem("Nobody says that its holder agreed", "agreed", "Ask them, and tick it.")
    if looked.ours:
        raise InputProblem("It was issued here", WHERE, "It counts by itself: nothing is to do.")
    if not looked.signed or len(looked.said.lists) > MOST_LISTS:
        said = looked.faults[0].rstrip(".") if looked.faults else "It names too many status lists"
        raise InputProblem(said, WHERE, "It cannot be kept.")
    if looked.fits and person.id not in looked.fits:
        whose = people.person(unit, looked.fits[0]).name
        raise InputProblem(f"It was issued to somebody called {whose}", "person", "Choose them.")
    before = outside_records.by_digest(unit, _digest(looked.text))
    if before is not None:
        _must_be_of(unit, before, person.id)
        return before.id
    if len(outside_records.of_place(unit)) >= MOST_KEPT:
        raise InputProblem(f"{MOST_KEPT} are kept already", WHERE, "Remove some first.")
    row = _row(unit, looked, person.id, now)
    outside_records.keep(unit, row)
    team_summaries.forget(unit)
    body = {"record": row.id, "issuer": row.issuer, "method": row.method, "holder_agreed": True}
    log(unit, "outside_record.kept", body, now, person_id=person.id)
    return row.id


def _must_be_of(unit: Unit, row: OutsideRecordRow, person_id: str) -> None:
    if row.person_id != person_id:
        whose = people.person(unit, row.person_id).name
        raise InputProblem(f"It is kept for {whose}", "person", "Remove it there first.")


def remove(unit: Unit, record_id: str, now: datetime) -> None:
    """Let a record go, file and all. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    row = outside_records.record(unit, record_id)
    outside_records.remove(unit, row)
    team_summaries.forget(unit)
    log(unit, "outside_record.removed", {"record": record_id}, now, person_id=row.person_id)


def _row(unit: Unit, looked: Looked, person_id: str, now: datetime) -> OutsideRecordRow:
    said = looked.said
    return OutsideRecordRow(
        organisation_id=unit.viewer.organisation_id,
        person_id=person_id,
        issuer=said.issuer,
        document=looked.text,
        digest=_digest(looked.text),
        method=said.method,
        services=list(said.services),
        valid_from=said.valid_from,
        valid_until=said.valid_until,
        lists=list(said.lists),
        state="in_force",
        state_since=now,
        agreed_on=now.date(),
        added_by=unit.viewer.person_id,
        added_at=now,
    )


def _read(content: bytes) -> dict[str, Any]:
    try:
        return read_json(content, WHERE)
    except Repeated:
        raise InputProblem("It could be read in two ways", WHERE, "Ask for it again.") from None


def _keys(issuer: str, accepted: AcceptedIssuerRow | None) -> tuple[PublicKey, ...]:
    if accepted is not None:
        return keys_of(accepted)
    if issuer.startswith(DID_KEY):
        return read_keys(issuer)
    if not issuer:
        return (PublicKey(bytes(32)),)  # its shape is at fault, and will be named
    raise InputProblem(
        f"Its issuer is not accepted here yet: {issuer[:200]}",
        "issuer",
        "Accept the issuer first, by its did or its key.",
    )


def _is_ours(unit: Unit, document: Mapping[str, Any]) -> bool:
    try:
        row = records.record(unit, UUID(str(document.get("id")).removeprefix("urn:uuid:")).hex)
    except (ValueError, NotFound):
        return False
    return row.issuer == issuer_of(document)


def _digest(text: str) -> str:
    """The same record, whatever spaces stand in its file."""
    whole = json.dumps(json.loads(text), sort_keys=True, separators=(",", ":"))
    return sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()
