"""Ed25519 keys in the forms people hand over: JWK, PEM, Multikey, multibase, did:key."""

import base64
import binascii
import json
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import load_pem_public_key
from openvc.multibase import MultibaseError, decode_multibase, encode_multibase

from trainer.core.problems import InputProblem

ED25519_PREFIX = b"\xed\x01"  # multicodec ed25519-pub (0xed) as a varint
KEY_BYTES = 32  # RFC 8032, 5.1.5
DID_KEY = "did:key:"
DID_WEB = "did:web:"
MULTIKEY_CONTEXT = "https://w3id.org/security/multikey/v1"
REMEDY = "Give the issuer's Ed25519 public key as JWK, PEM, Multikey or multibase text."


@dataclass(frozen=True)
class PublicKey:
    """One issuer's Ed25519 public key.

    `raw` is 32 bytes. `method` is the verification method the key says it is (a DID URL or an
    https address with a fragment), or None when its form names none.
    """

    raw: bytes
    method: str | None = None

    @cached_property
    def multibase(self) -> str:
        """The key as multibase text: z, then base58btc of prefix and key."""
        return str(encode_multibase(ED25519_PREFIX + self.raw))

    @property
    def did(self) -> str:
        """The issuer id that this key makes by itself (did:key)."""
        return DID_KEY + self.multibase

    @property
    def did_method(self) -> str:
        """The verification method of that did:key."""
        return f"{self.did}#{self.multibase}"

    @property
    def jwk(self) -> dict[str, str]:
        """The key as a JSON Web Key (RFC 8037)."""
        x = base64.urlsafe_b64encode(self.raw).rstrip(b"=").decode("ascii")
        return {"kty": "OKP", "crv": "Ed25519", "x": x, "kid": self.did_method}

    @property
    def multikey(self) -> dict[str, Any]:
        """The key as a Multikey document, with the JWK beside it."""
        method = self.method or self.did_method
        return {
            "@context": MULTIKEY_CONTEXT,
            "id": method,
            "type": "Multikey",
            "controller": method.partition("#")[0],
            "publicKeyMultibase": self.multibase,
            "publicKeyJwk": {**self.jwk, "kid": method},
        }


@dataclass(frozen=True)
class Signer:
    """One issuer's signing key: `secret` is the 32-byte seed of RFC 8032, kept by the caller."""

    secret: bytes

    @property
    def public(self) -> PublicKey:
        """The public half."""
        private = Ed25519PrivateKey.from_private_bytes(self.secret)
        return PublicKey(private.public_key().public_bytes_raw())


def read_key(text: str | bytes) -> PublicKey:
    """Read an issuer's public key in any of its forms.

    Parameters
    ----------
    text : JWK or Multikey as JSON, PEM (SubjectPublicKeyInfo), multibase text (z...) or did:key.

    Returns
    -------
    The key, with the verification method its form names, if any.

    Raises
    ------
    InputProblem : If it is none of these, or not an Ed25519 public key.
    """
    words = _as_text(text).strip()
    if words.startswith("-----BEGIN"):
        return PublicKey(_from_pem(words))
    if words.startswith("{"):
        return _from_json(words)
    if words.startswith(DID_KEY):
        return PublicKey(_from_multibase(words.removeprefix(DID_KEY).partition("#")[0]))
    return PublicKey(_from_multibase(words))


def read_keys(text: str | bytes) -> tuple[PublicKey, ...]:
    """Read one key in any of its forms, or all keys of an issuer's DID document.

    Parameters
    ----------
    text : As for `read_key`, or a DID document with `verificationMethod`.

    Returns
    -------
    At least one key; those of a DID document name their verification method.

    Raises
    ------
    InputProblem : If it is none of these, or a method in the document is no Ed25519 key.
    """
    words = _as_text(text).strip()
    methods = _object(words).get("verificationMethod") if words.startswith("{") else None
    if methods is None:
        return (read_key(words),)
    if not isinstance(methods, list) or not methods:
        raise InputProblem("the DID document lists no key", "issuer key", REMEDY)
    return tuple(_from_json(json.dumps(one)) for one in methods)


def _as_text(text: str | bytes) -> str:
    if isinstance(text, str):
        return text
    try:
        return text.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputProblem("the key is not text", "issuer key", REMEDY) from None


def _from_pem(text: str) -> bytes:
    try:
        key = load_pem_public_key(text.encode())
    except (ValueError, UnsupportedAlgorithm):
        raise InputProblem("the PEM holds no public key", "issuer key", REMEDY) from None
    if not isinstance(key, Ed25519PublicKey):
        raise InputProblem("the PEM holds another kind of key", "issuer key", REMEDY)
    return key.public_bytes_raw()


def _from_json(text: str) -> PublicKey:
    document = _object(text)
    if document.get("d") is not None:
        raise InputProblem("this is a private key", "issuer key", "Give the public key only.")
    if "publicKeyMultibase" in document:
        raw, method = _from_multibase(document["publicKeyMultibase"]), document.get("id")
    else:
        raw, method = _from_jwk(document.get("publicKeyJwk", document)), _named(document)
    named = isinstance(method, str) and ":" in method and "#" in method
    return PublicKey(raw, method if named else None)


def _named(document: dict[str, Any]) -> Any:
    return document.get("id" if "publicKeyJwk" in document else "kid")


def _object(text: str) -> dict[str, Any]:
    try:
        document = json.loads(text)
    except (ValueError, RecursionError):
        raise InputProblem("the key is not JSON", "issuer key", REMEDY) from None
    if not isinstance(document, dict):
        raise InputProblem("the key is not one JSON object", "issuer key", REMEDY)
    return document


def _from_jwk(jwk: Any) -> bytes:
    x = jwk.get("x") if isinstance(jwk, dict) else None
    if (
        not isinstance(jwk, dict)
        or jwk.get("kty") != "OKP"
        or jwk.get("crv") != "Ed25519"
        or not isinstance(x, str)
    ):
        raise InputProblem("this is not an Ed25519 key", "issuer key", REMEDY)
    try:
        raw = base64.b64decode(x + "=" * (-len(x) % 4), altchars=b"-_", validate=True)
    except (binascii.Error, ValueError):
        raise InputProblem("member x is not base64url", "issuer key", REMEDY) from None
    return _whole(raw)


def _from_multibase(text: Any) -> bytes:
    try:
        raw = decode_multibase(str(text))
    except MultibaseError:
        raise InputProblem("the key is not multibase text", "issuer key", REMEDY) from None
    if not raw.startswith(ED25519_PREFIX):
        raise InputProblem("this is not an Ed25519 key", "issuer key", REMEDY)
    return _whole(bytes(raw[len(ED25519_PREFIX) :]))


def _whole(raw: bytes) -> bytes:
    if len(raw) != KEY_BYTES:
        raise InputProblem(f"the key has {len(raw)} bytes, not 32", "issuer key", REMEDY)
    return raw
