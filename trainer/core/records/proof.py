"""Sign and verify one embedded proof, cryptosuite eddsa-rdfc-2022.

What has the shape that we issue is canonicalised directly (`canonical`); everything else goes
through openvc-core, which canonicalises (RDFC-1.0), verifies and refuses members that no context
defines (W3C Data Integrity 1.0, 2.4.1; the direct tables are closed and so refuse them too). The
strict layer here adds: exactly one proof, in the one form we issue, made by the issuer named in
the record with a key that the reader trusts.
"""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from functools import lru_cache
from hashlib import sha256
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from openvc.errors import OpenvcError
from openvc.keys import Ed25519SigningKey
from openvc.multibase import decode_multibase, encode_multibase
from openvc.proof.data_integrity import DataIntegrityProofSuite

from trainer.core.records.canonical import OtherShape, canonical_document, canonical_proof
from trainer.core.records.contexts import CREDENTIALS, OPEN_BADGES, open_badges
from trainer.core.records.instants import write_instant
from trainer.core.records.keys import DID_KEY, DID_WEB, PublicKey, Signer

SUITE = "eddsa-rdfc-2022"
KIND = "DataIntegrityProof"
PURPOSE = "assertionMethod"
SIGNATURE_BYTES = 64  # RFC 8032, 5.1.6
NO_WINDOW = datetime(9999, 1, 1, tzinfo=UTC)  # the time window is judged by us, after the proof
MEMBERS = {
    *("id", "type", "cryptosuite", "created", "expires", "verificationMethod", "proofPurpose"),
    *("proofValue", "challenge", "domain", "nonce"),
}  # no @context: the library takes the document's, so one in the proof would not be covered
CHANGED = (
    "The signature does not fit. The file was changed after signing, or another key signed it."
)
ALLOWED_CONTEXTS = ([CREDENTIALS], [CREDENTIALS, OPEN_BADGES])


def sign(document: Mapping[str, Any], signer: Signer, created: datetime) -> dict[str, Any]:
    """Secure a document with one proof.

    Parameters
    ----------
    document : A record or a status list without proof.
    signer : The issuer's key; the proof names it under the document's did:web issuer, else as
        its own did:key.
    created : When, in UTC; kept to whole seconds.

    Returns
    -------
    A copy with `proof`. Signing is deterministic: the same values give the same bytes.

    Raises
    ------
    openvc.errors.OpenvcError : If a member of the document would not be covered by the signature.
    """
    method = _method_of(document, signer)
    options = {
        "type": KIND,
        "cryptosuite": SUITE,
        "created": write_instant(created),
        "verificationMethod": method,
        "proofPurpose": PURPOSE,
    }
    try:
        hashed = _hashed(document, options)
    except OtherShape:
        return _signed_by_library(document, signer, method, created)
    signature = Ed25519PrivateKey.from_private_bytes(signer.secret).sign(hashed)
    return {**document, "proof": {**options, "proofValue": encode_multibase(signature)}}


def proof_faults(document: Mapping[str, Any], keys: PublicKey | Sequence[PublicKey]) -> list[str]:
    """Check the one proof of a document against the keys that the reader trusts.

    Parameters
    ----------
    document : A record or a status list as parsed JSON, with its proof.
    keys : The issuer's public key or keys (an issuer who changes keys has several), from a place
        the reader trusts, not from the document.

    Returns
    -------
    Faults in plain words; none when the proof holds.
    """
    proof, fault = _only_proof(document)
    if proof is None:
        return [fault]
    faults = _form_faults(document, proof)
    if faults:
        return faults
    key = _fitting(proof, [keys] if isinstance(keys, PublicKey) else keys)
    if key is None:
        return ["It was signed with none of the issuer keys you gave."]
    faults = _key_faults(document, proof, key)
    if not faults and not _holds(document, proof, key):
        faults = [CHANGED]
    return faults


def issuer_of(document: Mapping[str, Any]) -> str:
    """Give the id of the issuer a document names.

    Parameters
    ----------
    document : A record or a status list as parsed JSON.

    Returns
    -------
    The id, or an empty text when there is none.
    """
    issuer = document.get("issuer")
    found = issuer.get("id") if isinstance(issuer, dict) else issuer
    return found if isinstance(found, str) else ""


def only_proof(document: Mapping[str, Any]) -> dict[str, Any]:
    """Give the one proof of a document whose proof has been checked.

    Parameters
    ----------
    document : A record or a status list as parsed JSON.

    Returns
    -------
    The proof object, empty when there is not exactly one.
    """
    return _only_proof(document)[0] or {}


def _only_proof(document: Mapping[str, Any]) -> tuple[dict[str, Any] | None, str]:
    found = document.get("proof")
    proofs = found if isinstance(found, list) else [found] if found is not None else []
    if not proofs:
        return None, "There is no proof, so anyone could have written it."
    if len(proofs) > 1:
        return None, "There is more than one proof; a record of this kind carries one."
    if not isinstance(proofs[0], dict):
        return None, "The proof cannot be read."
    return proofs[0], ""


def _form_faults(document: Mapping[str, Any], proof: Mapping[str, Any]) -> list[str]:
    if document.get("@context") not in ALLOWED_CONTEXTS:
        return ["It names other contexts than the two we pin, so its words could mean anything."]
    if not proof.keys() <= MEMBERS:
        return ["The proof holds a part that its signature does not cover."]
    if proof.get("type") != KIND or proof.get("cryptosuite") != SUITE:
        return [f"The proof is of another kind than {SUITE}."]
    if proof.get("proofPurpose") != PURPOSE:
        return ["The proof was made for another purpose, not to attest a record."]
    value = proof.get("proofValue")
    whole = isinstance(value, str) and len(_signature(value)) == SIGNATURE_BYTES
    return [] if whole else ["The proof value is not a 64-byte signature in base58."]


@lru_cache(maxsize=256)
def _signature(value: str) -> bytes:
    """The bytes of a proof value, empty when it is no multibase text."""
    try:
        return bytes(decode_multibase(value))
    except OpenvcError:
        return b""


def _key_faults(document: Mapping[str, Any], proof: Mapping[str, Any], key: PublicKey) -> list[str]:
    issuer = issuer_of(document)
    method = proof.get("verificationMethod")
    if not isinstance(method, str) or not issuer or method.partition("#")[0] != issuer:
        return ["The key that signed does not belong to the issuer it names."]
    if issuer.startswith(DID_KEY) and method != key.did_method:
        return ["It was signed with another key than the issuer key you gave."]
    if key.method is not None and key.method != method:
        return ["The issuer key you gave is not the one the proof names."]
    return []


def _fitting(proof: Mapping[str, Any], keys: Sequence[PublicKey]) -> PublicKey | None:
    """The key that the proof names; a single key is tried whatever it names."""
    method = str(proof.get("verificationMethod"))
    named = [key for key in keys if key.method == method]
    named += [key for key in keys if key.method is None and method.endswith(f"#{key.multibase}")]
    return named[0] if named else keys[0] if len(keys) == 1 else None


def _holds(document: Mapping[str, Any], proof: Mapping[str, Any], key: PublicKey) -> bool:
    options = {name: part for name, part in proof.items() if name != "proofValue"}
    unsigned = {name: part for name, part in document.items() if name != "proof"}
    try:
        hashed = _hashed(unsigned, options)
    except OtherShape:
        return _holds_by_library({**document, "proof": proof}, key)
    try:
        public = Ed25519PublicKey.from_public_bytes(key.raw)
        public.verify(_signature(proof["proofValue"]), hashed)
    except (InvalidSignature, ValueError):
        return False
    return True


def _hashed(document: Mapping[str, Any], options: Mapping[str, Any]) -> bytes:
    """What is signed: hash of the options, then of the document (EdDSA Cryptosuites 1.0, 3.2.5)."""
    return sha256(canonical_proof(options)).digest() + sha256(canonical_document(document)).digest()


def _holds_by_library(document: dict[str, Any], key: PublicKey) -> bool:
    try:
        DataIntegrityProofSuite(leeway_s=0).verify(
            document,
            public_key_jwk=key.jwk,
            expected_proof_purpose=PURPOSE,
            now=NO_WINDOW,
            extra_contexts=open_badges(),
            check_temporal=False,
        )
    except (OpenvcError, ValueError, TypeError, RecursionError):
        return False
    return True


def _signed_by_library(
    document: Mapping[str, Any], signer: Signer, method: str, created: datetime
) -> dict[str, Any]:
    signed: dict[str, Any] = DataIntegrityProofSuite().add_proof(
        dict(document),
        signing_key=Ed25519SigningKey(Ed25519PrivateKey.from_private_bytes(signer.secret), method),
        verification_method=method,
        created=created,
        extra_contexts=open_badges(),
    )
    return signed


def _method_of(document: Mapping[str, Any], signer: Signer) -> str:
    issuer = issuer_of(document)
    is_web = issuer.startswith(DID_WEB)
    return f"{issuer}#{signer.public.multibase}" if is_web else signer.public.did_method
