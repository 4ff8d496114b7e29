"""Check one record with nothing but its file, the issuer's key and the status lists given.

The order is that of Open Badges 3.0, Verification and Validation: shape, proof, status, time. A
signature comes before all that the record says about itself.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from trainer.core.records.contexts import CREDENTIALS, OPEN_BADGES
from trainer.core.records.instants import for_people, read_instant
from trainer.core.records.keys import PublicKey
from trainer.core.records.proof import only_proof, proof_faults
from trainer.core.records.status_list import ENTRY_KIND, bit, list_faults
from trainer.core.records.strict_json import Repeated, read_json, shape_faults

Keys = PublicKey | Sequence[PublicKey]
PASSED, FAILED, NOT_CHECKED, NONE = "passed", "failed", "not_checked", "none"
CHECKS = ("shape", "proof", "status", "time")
TIMES = ("validFrom", "validUntil", "awardedDate")
NO_LIST = (
    "Whether it is still valid cannot be told: the record points to a status list and none was "
    "given. Ask the issuer's page, or give the list."
)
BIT_SET = (
    "No longer valid: the issuer has marked it on the status list. The issuer's page says whether "
    "it is suspended or withdrawn."
)


@dataclass(frozen=True)
class Verification:
    """Whether a record holds, why, and how each check came out.

    `checks` maps shape, proof, status and time to passed, failed, not_checked, or none (the
    record declares no status). A record is valid when no check failed and none was left out.
    """

    valid: bool
    reasons: tuple[str, ...]
    checks: Mapping[str, str]

    def as_contract(self) -> dict[str, Any]:
        """Give the three members that the command prints."""
        return {"valid": self.valid, "reasons": list(self.reasons), "checks": dict(self.checks)}


def verify(text: bytes, key: Keys, status_lists: Sequence[bytes], now: datetime) -> Verification:
    """Check a record offline.

    Parameters
    ----------
    text : The record's file.
    key : The issuer's public key or keys, from a place the reader trusts.
    status_lists : Files of status lists, none or more.
    now : The instant of the check, UTC.

    Returns
    -------
    The answer with its reasons in plain words.

    Raises
    ------
    InputProblem : If the record or a status list cannot be read at all.

    References
    ----------
    Open Badges 3.0, Verification and Validation; W3C Data Integrity 1.0; Bitstring Status List 1.0.
    """
    try:
        record = read_json(text, "record")
    except Repeated:
        return _answer({"shape": ["A member stands twice, so it could be read in two ways."]})
    return verify_read(record, key, status_lists, now)


def verify_read(
    record: Mapping[str, Any], key: Keys, status_lists: Sequence[bytes], now: datetime
) -> Verification:
    """Check a record that has been read strictly already; otherwise as `verify`.

    Parameters
    ----------
    record : The record as parsed JSON.
    key, status_lists, now : As for `verify`.

    Returns
    -------
    The answer with its reasons in plain words.

    Raises
    ------
    InputProblem : If a status list cannot be read at all.
    """
    faults = _shape(record)
    if faults:
        return _answer({"shape": faults})
    faults = proof_faults(record, key)
    if faults:
        return _answer({"shape": [], "proof": faults})
    status, said = _status(record, key, status_lists, now)
    found = {"shape": [], "proof": [], "status": said, "time": _time(record, now)}
    return _answer(found, status, _good_words(record, status))


def _answer(
    found: Mapping[str, list[str]], status: str = NOT_CHECKED, good: tuple[str, ...] = ()
) -> Verification:
    checks = dict.fromkeys(CHECKS, NOT_CHECKED)
    checks |= {name: FAILED if faults else PASSED for name, faults in found.items()}
    if "status" in found:
        checks["status"] = status
    faults = [fault for name in CHECKS for fault in found.get(name, ())]
    valid = not faults and set(checks.values()) <= {PASSED, NONE}
    return Verification(valid, tuple(faults) or good, checks)


def _shape(record: Mapping[str, Any]) -> list[str]:
    faults = [f"Not an Open Badges 3.0 record: {fault}." for fault in shape_faults(record)]
    if not faults and record.get("@context") != [CREDENTIALS, OPEN_BADGES]:
        faults = ["It must name exactly the VC 2.0 context and the Open Badges 3.0.3 context."]
    unreadable = [name for name in TIMES if name in record and read_instant(record[name]) is None]
    if not faults and unreadable:
        faults = [f"The time in {unreadable[0]} is not a time that exists."]
    return faults


def _status(
    record: Mapping[str, Any], key: Keys, status_lists: Sequence[bytes], now: datetime
) -> tuple[str, list[str]]:
    declared = record.get("credentialStatus")
    if declared is None:
        return NONE, []
    entries = declared if isinstance(declared, list) else [declared]
    lists = [_read_list(text) for text in status_lists]
    outcomes = [_entry(entry, _issuer(record), lists, key, now) for entry in entries]
    said = list(dict.fromkeys(fault for _, faults in outcomes for fault in faults))
    kinds = {kind for kind, _ in outcomes}
    return next(kind for kind in (FAILED, NOT_CHECKED, PASSED) if kind in kinds), said


def _entry(
    entry: Mapping[str, Any],
    issuer: str,
    lists: Sequence[Mapping[str, Any]],
    key: Keys,
    now: datetime,
) -> tuple[str, list[str]]:
    if entry.get("type") != ENTRY_KIND:
        return NOT_CHECKED, ["It keeps its status in a way that we cannot read."]
    named = [one for one in lists if one.get("id") == entry.get("statusListCredential")]
    if not named:
        return NOT_CHECKED, [NO_LIST]
    for one in named:
        faults = list_faults(one, issuer, key, now)
        if faults:
            return FAILED, [*faults, "So whether the record is still valid cannot be told."]
        try:
            if bit(one, entry):
                return FAILED, [BIT_SET]
        except ValueError as fault:
            return FAILED, [str(fault), "So whether the record is still valid cannot be told."]
    return PASSED, []


def _read_list(text: bytes) -> Mapping[str, Any]:
    try:
        return read_json(text, "status list")
    except Repeated:
        return {}


def _issuer(record: Mapping[str, Any]) -> str:
    issuer = record["issuer"]
    return str(issuer["id"] if isinstance(issuer, dict) else issuer)


def _time(record: Mapping[str, Any], now: datetime) -> list[str]:
    since, until = read_instant(record["validFrom"]), read_instant(record.get("validUntil"))
    expires = read_instant(only_proof(record).get("expires"))
    if since is not None and until is not None and until < since:
        return ["Its last day comes before its first."]
    if since is not None and now < since:
        return [f"It is not in force before {for_people(since)}."]
    if until is not None and now > until:
        return [f"It ended on {for_people(until)}."]
    if expires is not None and now > expires:
        return [f"Its signature ended on {for_people(expires)}."]
    return []


def _good_words(record: Mapping[str, Any], status: str) -> tuple[str, ...]:
    until = read_instant(record.get("validUntil"))
    return (
        "The signature is the issuer's, and nothing was changed after signing.",
        "It is not marked on the issuer's status list."
        if status == PASSED
        else "It names no status list: only the issuer can say whether it was withdrawn.",
        f"It is in force until {for_people(until)}." if until else "It has no last day.",
    )
