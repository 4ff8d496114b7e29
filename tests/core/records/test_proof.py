"""Proofs against outside values: RFC 8032, and a second way to the same signature."""

from hashlib import sha256

import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from openvc.multibase import decode_multibase
from pyld import jsonld
from pyld.documentloader.frozen import FrozenDocumentLoader

from tests.core.records.example import ISSUED, SIGNER, signed_list, signed_record
from trainer.core.records.contexts import CREDENTIALS, OPEN_BADGES, checked, open_badges
from trainer.core.records.keys import Signer
from trainer.core.records.proof import proof_faults, sign

# RFC 8032, section 7.1, tests 1 to 3: secret key, public key, message, signature.
RFC_8032 = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e06522490155"
        "5fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
        "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac"
        "18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
]


@pytest.mark.parametrize(("secret", "public", "message", "signature"), RFC_8032)
def test_keys_and_signatures_are_those_of_the_rfc(secret, public, message, signature):
    assert Signer(bytes.fromhex(secret)).public.raw.hex() == public
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert key.sign(bytes.fromhex(message)).hex() == signature


def bundled(url, options):
    """A loader of its own: W3C's context as PyLD carries it, the other as pinned."""
    if url == OPEN_BADGES:
        return {"contextUrl": None, "documentUrl": url, "document": open_badges()[url]}
    assert url == CREDENTIALS, url
    return FrozenDocumentLoader()(url, options)


def canonical(document):
    return jsonld.normalize(
        document,
        {
            "algorithm": "URDNA2015",
            "format": "application/n-quads",
            "documentLoader": bundled,
        },
    ).encode()


def hashes_by_hand(signed):
    document = {name: part for name, part in signed.items() if name != "proof"}
    options = {name: part for name, part in signed["proof"].items() if name != "proofValue"}
    options["@context"] = signed["@context"]
    return sha256(canonical(options)).digest() + sha256(canonical(document)).digest()


@pytest.mark.parametrize("signed", [signed_record(), signed_list(3)], ids=["record", "list"])
def test_a_second_way_finds_the_same_signature(signed):
    signature = decode_multibase(signed["proof"]["proofValue"])
    key = Ed25519PublicKey.from_public_bytes(SIGNER.public.raw)
    key.verify(signature, hashes_by_hand(signed))
    changed = {**signed, "validFrom": "2020-01-01T00:00:00Z"}
    with pytest.raises(InvalidSignature):
        key.verify(signature, hashes_by_hand(changed))


def test_signing_twice_gives_the_same_bytes():
    assert signed_record() == signed_record()


def test_a_stranger_who_names_the_issuer_is_refused():
    stranger = Signer(bytes(32))
    record = {k: v for k, v in signed_record().items() if k != "proof"}
    forged = sign(record, stranger, ISSUED)
    assert proof_faults(forged, SIGNER.public)
    assert proof_faults(forged, stranger.public)
    forged["proof"]["verificationMethod"] = SIGNER.public.did_method
    assert proof_faults(forged, SIGNER.public)


def test_a_context_of_other_bytes_stops_everything():
    with pytest.raises(RuntimeError, match="pinned"):
        checked(CREDENTIALS, b"{}")
