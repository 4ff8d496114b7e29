"""The list of bits that says which records are no longer valid (W3C Bitstring Status List 1.0)."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from openvc.status.bitstring import (
    StatusListError,
    decode_bitstring,
    encode_bitstring,
    get_status_bit,
    new_bitstring,
    set_status_bit,
)

from trainer.core.records.contexts import CREDENTIALS
from trainer.core.records.instants import read_instant, write_instant
from trainer.core.records.keys import PublicKey
from trainer.core.records.proof import issuer_of, proof_faults

SIZE = 131_072  # entries; the least that keeps readers from guessing who is meant (2.2)
DIGITS = 9  # of an index; the longest list unpacked has 134 million entries
REVOCATION = "revocation"
PURPOSES = (REVOCATION, "suspension")
KIND = "BitstringStatusListCredential"
SUBJECT_KIND = "BitstringStatusList"
ENTRY_KIND = "BitstringStatusListEntry"


@dataclass(frozen=True)
class ListAddress:
    """Where a status list stands: its own address and the issuer whose records it covers."""

    url: str
    issuer: str


def compose_list(
    address: ListAddress, set_bits: Iterable[int], since: datetime, until: datetime
) -> dict[str, Any]:
    """Build a status list, to be signed.

    Parameters
    ----------
    address : Its address and issuer.
    set_bits : Indexes of records no longer valid, each 0 to 131,071.
    since, until : Its own window, UTC.

    Returns
    -------
    A BitstringStatusListCredential without proof; purpose revocation, 131,072 entries.

    Raises
    ------
    openvc.status.bitstring.StatusListError : If an index is out of range.
    """
    bits = new_bitstring(SIZE)
    for index in set_bits:
        set_status_bit(bits, index, 1)
    return {
        "@context": [CREDENTIALS],
        "id": address.url,
        "type": ["VerifiableCredential", KIND],
        "issuer": address.issuer,
        "validFrom": write_instant(since),
        "validUntil": write_instant(until),
        "credentialSubject": {
            "id": f"{address.url}#list",
            "type": SUBJECT_KIND,
            "statusPurpose": REVOCATION,
            "encodedList": encode_bitstring(bytes(bits)),
        },
    }


def entry(url: str, index: int) -> dict[str, str]:
    """Build the status entry that a record carries.

    Parameters
    ----------
    url : Address of the status list.
    index : The record's place in it, 0 to 131,071, drawn at random by the caller.

    Returns
    -------
    One BitstringStatusListEntry, purpose revocation.

    Raises
    ------
    ValueError : If the index is out of range.
    """
    if not 0 <= index < SIZE:
        raise ValueError(f"{index=} is not in 0..{SIZE - 1}")
    return {
        "id": f"{url}#{index}",
        "type": ENTRY_KIND,
        "statusPurpose": REVOCATION,
        "statusListIndex": str(index),
        "statusListCredential": url,
    }


def list_faults(
    document: Mapping[str, Any], issuer: str, key: PublicKey | Sequence[PublicKey], now: datetime
) -> list[str]:
    """Check a status list as such, before any bit of it is read.

    Parameters
    ----------
    document : The list as parsed JSON, with its proof.
    issuer : The id of the issuer of the record.
    key : The issuer's public key or keys, as trusted by the reader.
    now : The instant of the check, UTC.

    Returns
    -------
    Faults in plain words; none when its bits may be read.
    """
    kinds = document.get("type")
    if not isinstance(kinds, list) or KIND not in kinds or not isinstance(_subject(document), dict):
        return ["The status list given is not a status list."]
    if issuer_of(document) != issuer:
        return ["The status list comes from someone else than the issuer of the record."]
    if proof_faults(document, key):
        return ["The status list does not carry the issuer's good signature."]
    return _window_faults(document, now)


def bit(document: Mapping[str, Any], entry_read: Mapping[str, Any]) -> bool:
    """Read the bit of one record from a list that has been checked.

    Parameters
    ----------
    document : The list as parsed JSON.
    entry_read : The record's status entry.

    Returns
    -------
    True when the bit is set: the record is no longer valid.

    Raises
    ------
    ValueError : In plain words, if list or entry cannot be used.
    """
    purpose = entry_read.get("statusPurpose")
    listed = _subject(document).get("statusPurpose")
    if purpose not in PURPOSES or purpose not in (listed if isinstance(listed, list) else [listed]):
        raise ValueError("The status list is kept for another purpose than the record's entry.")
    if entry_read.get("statusSize", 1) != 1:
        raise ValueError("The record asks for a kind of status list that we do not read.")
    bits = _unpacked(document)
    if len(bits) * 8 < SIZE:
        raise ValueError("The status list is shorter than the standard allows.")
    try:
        return get_status_bit(bits, _index(entry_read)) == 1
    except StatusListError:
        raise ValueError("The record's place is not on the status list.") from None


def _index(entry_read: Mapping[str, Any]) -> int:
    text = entry_read.get("statusListIndex")
    if not isinstance(text, str) or not (text.isascii() and text.isdigit()) or len(text) > DIGITS:
        raise ValueError("The record's place on the status list is not a plain number.")
    return int(text)


def _subject(document: Mapping[str, Any]) -> Any:
    return document.get("credentialSubject")


def _unpacked(document: Mapping[str, Any]) -> bytes:
    subject = _subject(document)
    packed = subject.get("encodedList")
    if subject.get("type") != SUBJECT_KIND or not isinstance(packed, str) or packed[:1] != "u":
        raise ValueError("The status list cannot be read.")
    try:
        return bytes(decode_bitstring(packed))  # never unpacks more than 16 MiB
    except StatusListError:
        raise ValueError("The status list cannot be unpacked.") from None


def _window_faults(document: Mapping[str, Any], now: datetime) -> list[str]:
    since = read_instant(document.get("validFrom")) if "validFrom" in document else now
    until = read_instant(document.get("validUntil")) if "validUntil" in document else now
    if since is None or until is None:
        return ["The times on the status list cannot be read."]
    if now < since:
        return ["The status list is not in force yet."]
    if now > until:
        return ["The status list is out of date. Get the newest one from the issuer."]
    return []
