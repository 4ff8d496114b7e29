"""A completion record: plain values in, one Open Badges 3.0 AchievementCredential out.

Everything stands in members that the two contexts define, because nothing else is covered by the
signature (W3C Data Integrity 1.0, 2.4.1). Method and services are `humanCode` and `tag`; form,
bank version and confidence are pairs of `resultDescription` and `result`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from typing import Any

from trainer.core.records.contexts import CREDENTIALS, OPEN_BADGES
from trainer.core.records.instants import for_people, write_instant
from trainer.core.records.status_list import entry

CAUTION = (
    "A training aid's record: it speaks of the stylist, not of any client. Follow the maker's "
    "instructions, local law and licensing; consultation and patch test come first; anything wrong "
    "with a scalp goes to a licensed health professional."
)
SCORE_WORDS = "Assessment score"
PASSED_WORDS = "Assessment passed on"
FORM_WORDS = "Fingerprint of the assessment form"
BANK_WORDS = "Version of the question bank"
SURE_WORDS = "Probability that the decision is right"
IMPERSONAL = ("id", "issuer", "validFrom", "validUntil", "credentialStatus")
"""Members that speak of nobody."""


@dataclass(frozen=True)
class Issuer:
    """Who attests: `did` is a did:key, `name` for people, `page` an https or http address."""

    did: str
    name: str
    page: str


@dataclass(frozen=True)
class Holder:
    """Whom it speaks of: an opaque urn:uuid, and the name kept only as a salted hash."""

    subject: str
    name: str
    salt: str


@dataclass(frozen=True)
class AssessmentResult:
    """The passed sitting: whole marks, the form's fingerprint, and how sure the decision is.

    `score` and `most` are raw marks, `cut` the form's raw cut; `confidence` is the probability that
    the decision is right, 0 to 1, or None when it was not worked out.
    """

    passed_on: date
    score: int
    most: int
    cut: int
    form: str
    bank_version: str
    confidence: float | None


@dataclass(frozen=True)
class ObservedService:
    """One service watched and signed off: the trade's word for it, the day, the observer's name.

    `accepted`: not watched here, but accepted on other evidence by the one named.
    """

    service: str
    on: date
    observer: str
    accepted: bool = False


@dataclass(frozen=True)
class Alignment:
    """An occupational standard that the method answers to: code, name, who keeps it, where."""

    code: str
    name: str
    framework: str
    url: str


@dataclass(frozen=True)
class Completion:
    """All that one record says. `method` is the id, `method_name` the words; times are UTC."""

    id: str
    issuer: Issuer
    holder: Holder
    method: str
    method_name: str
    assessment: AssessmentResult
    observed: tuple[ObservedService, ...]
    valid_from: datetime
    valid_until: datetime
    status_list: str
    status_index: int
    alignment: tuple[Alignment, ...] = ()


def compose(completion: Completion) -> dict[str, Any]:
    """Write a record, to be signed.

    Parameters
    ----------
    completion : Everything it says; ids, salt and status index come from the caller.

    Returns
    -------
    The credential without proof, ready for `proof.sign`.

    Raises
    ------
    ValueError : If nothing was observed, it ends before it starts, or the status index is out of
        range.
    """
    if not completion.observed or completion.valid_until < completion.valid_from:
        raise ValueError(f"{completion.observed=}, {completion.valid_until=}")
    return {
        "@context": [CREDENTIALS, OPEN_BADGES],
        "id": completion.id,
        "type": ["VerifiableCredential", "OpenBadgeCredential"],
        "name": f"{completion.method_name}: {_listed(completion)}",
        "description": CAUTION,
        "issuer": {
            "id": completion.issuer.did,
            "type": ["Profile"],
            "name": completion.issuer.name,
            "url": completion.issuer.page,
        },
        "validFrom": write_instant(completion.valid_from),
        "validUntil": write_instant(completion.valid_until),
        "credentialSubject": _subject(completion),
        "evidence": [_evidence(observed) for observed in completion.observed],
        "credentialStatus": entry(completion.status_list, completion.status_index),
    }


def name_hash(name: str, salt: str) -> str:
    """Hash a holder's name as Open Badges 3.0 writes it in an IdentityObject.

    Parameters
    ----------
    name : As the holder writes it.
    salt : Random text that stands beside the hash in the record.

    Returns
    -------
    sha256$ and 64 hexadecimal digits of SHA-256 over name then salt, UTF-8.
    """
    return "sha256$" + sha256((name + salt).encode("utf-8")).hexdigest()


def names_holder(record: Mapping[str, Any], name: str) -> bool:
    """Tell whether a record was issued to someone of this name.

    Parameters
    ----------
    record : A record that has been verified.
    name : The name to try, letter for letter.

    Returns
    -------
    True when a salted hash in the record fits the name.
    """
    subject = record.get("credentialSubject")
    found = subject.get("identifier", ()) if isinstance(subject, Mapping) else ()
    return any(
        one.get("identityHash") == name_hash(name, one.get("salt", ""))
        for one in found
        if isinstance(one, Mapping)
    )


def without_holder(record: Mapping[str, Any]) -> dict[str, Any]:
    """What of a record is about its issuer and its status, and nothing of whom it speaks.

    Parameters
    ----------
    record : A record as issued, or what was left of one before.

    Returns
    -------
    The members of `IMPERSONAL`, and which key had signed. It verifies no more: the holder's own
    copy does.
    """
    kept = {name: record[name] for name in IMPERSONAL if name in record}
    proof = record.get("proof")
    method = proof.get("verificationMethod") if isinstance(proof, Mapping) else None
    return kept | ({"proof": {"verificationMethod": method}} if method else {})


def is_without_holder(record: Mapping[str, Any]) -> bool:
    """Whether a record is only what `without_holder` left of it."""
    return "credentialSubject" not in record


def _listed(completion: Completion) -> str:
    services = [one.service for one in completion.observed]
    return " and ".join([", ".join(services[:-1]), services[-1]] if services[1:] else services)


def _subject(completion: Completion) -> dict[str, Any]:
    holder = completion.holder
    described = _described(completion)
    return {
        "id": holder.subject,
        "type": ["AchievementSubject"],
        "identifier": [
            {
                "type": "IdentityObject",
                "hashed": True,
                "identityHash": name_hash(holder.name, holder.salt),
                "identityType": "name",
                "salt": holder.salt,
            }
        ],
        "achievement": _achievement(completion, [told for told, _ in described]),
        "result": [
            {"type": ["Result"], "resultDescription": told["id"], "value": value}
            for told, value in described
        ],
    }


def _achievement(completion: Completion, described: list[dict[str, Any]]) -> dict[str, Any]:
    services = _listed(completion)
    return {
        "id": f"{completion.issuer.page}#{completion.method}",
        "type": ["Achievement"],
        "achievementType": "Certification",
        "name": f"{completion.method_name} extensions",
        "humanCode": completion.method,
        "tag": [one.service for one in completion.observed],
        "description": f"Able to {services} {completion.method_name} extensions.",
        "criteria": {
            "narrative": "Assessment passed on a form of its own, built to the blueprint, with no "
            f"critical error left open. Then {services} watched at the chair and signed off with "
            f"all critical criteria met{_or_accepted(completion)}."
        },
        **_aligned(completion),
        "resultDescription": described,
    }


def _aligned(completion: Completion) -> dict[str, Any]:
    lines = [
        {
            "type": ["Alignment"],
            "targetName": one.name,
            "targetUrl": one.url,
            "targetCode": one.code,
            "targetFramework": one.framework,
        }
        for one in completion.alignment
    ]
    return {"alignment": lines} if lines else {}


def _or_accepted(completion: Completion) -> str:
    some = any(one.accepted for one in completion.observed)
    return ", or accepted on other evidence where the evidence says so" if some else ""


def _described(completion: Completion) -> list[tuple[dict[str, Any], str]]:
    result = completion.assessment
    base = f"{completion.id}#"
    score = {
        **_told(base + "score", SCORE_WORDS, "RawScore"),
        "valueMin": "0",
        "valueMax": str(result.most),
        "requiredValue": str(result.cut),
    }
    pairs = [
        (score, str(result.score)),
        (_told(base + "assessed", PASSED_WORDS), result.passed_on.isoformat()),
        (_told(base + "form", FORM_WORDS), result.form),
        (_told(base + "bank", BANK_WORDS), result.bank_version),
    ]
    if result.confidence is not None:
        sure = _told(base + "confidence", SURE_WORDS)
        pairs.append((sure, f"{result.confidence:.2f}"))
    return pairs


def _told(id_: str, name: str, kind: str = "Result") -> dict[str, Any]:
    return {"id": id_, "type": ["ResultDescription"], "name": name, "resultType": kind}


def _evidence(observed: ObservedService) -> dict[str, Any]:
    if observed.accepted:
        return {
            "type": ["Evidence"],
            "name": f"Accepted: {observed.service}",
            "genre": "Recognition",
            "narrative": f"Accepted on other evidence on {observed.on.isoformat()} by "
            f"{observed.observer}, who had not watched this work; the issuer keeps the reason.",
        }
    return {
        "type": ["Evidence"],
        "name": f"Observed: {observed.service}",
        "genre": "Observation",
        "narrative": f"Watched at the chair on {for_people(observed.on)} and signed off by "
        f"{observed.observer}; all critical criteria met.",
    }
