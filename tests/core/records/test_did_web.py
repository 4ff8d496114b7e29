"""did:web names and documents, and keys read from them.

Names are held against the examples of the did:web method specification (W3C CCG), from memory.
"""

import json
from dataclasses import replace

import pytest
from openvc.did.did_web import DidWebResolver

from tests.core.records.example import COMPLETION, ISSUED, LIST, NOW, PAGE, SIGNER, as_bytes
from trainer.core.problems import InputProblem
from trainer.core.records.did_web import can_be_reached, did_document, did_web
from trainer.core.records.keys import PublicKey, Signer, read_keys
from trainer.core.records.proof import sign
from trainer.core.records.record import compose
from trainer.core.records.status_list import ListAddress, compose_list
from trainer.core.records.verify import verify

NEWER = Signer(bytes(range(1, 33)))
DID = did_web(PAGE)


@pytest.mark.parametrize(
    ("address", "did"),
    [
        ("https://w3c-ccg.github.io", "did:web:w3c-ccg.github.io"),
        ("https://w3c-ccg.github.io/user/alice", "did:web:w3c-ccg.github.io:user:alice"),
        ("https://example.com:3000/user/alice", "did:web:example.com%3A3000:user:alice"),
    ],
)
def test_names_are_those_of_the_specification(address, did):
    assert did_web(address) == did
    plain = "/" not in address.removeprefix("https://")
    ending = "/.well-known/did.json" if plain else "/did.json"
    asked = []

    def fetch(url):
        asked.append(url)
        return did_document(did, [SIGNER.public])

    assert DidWebResolver(fetch).resolve(did).id == did
    assert asked == [address + ending]


@pytest.mark.parametrize(
    ("address", "reached"),
    [
        ("https://quayside.example", True),
        ("https://records.quayside.example:8443", True),
        ("http://quayside.example", False),
        ("https://localhost", False),
        ("https://192.168.1.4", False),
        ("https://[::1]:8000", False),
        ("", False),
    ],
)
def test_only_https_and_a_domain_name_stand_for_an_issuer(address, reached):
    assert can_be_reached(address) is reached


def record(signer, did=DID):
    issuer = replace(COMPLETION.issuer, did=did)
    return sign(compose(replace(COMPLETION, issuer=issuer)), signer, ISSUED)


def a_list(signer, did=DID):
    until = NOW.replace(year=2027)
    return as_bytes(sign(compose_list(ListAddress(LIST, did), [3], ISSUED, until), signer, ISSUED))


KEYS = read_keys(json.dumps(did_document(DID, [NEWER.public, SIGNER.public])))


def test_a_document_gives_every_key_with_its_name():
    assert [key.raw for key in KEYS] == [NEWER.public.raw, SIGNER.public.raw]
    assert all(key.method == f"{DID}#{key.multibase}" for key in KEYS)


@pytest.mark.parametrize("signer", [SIGNER, NEWER])
def test_a_record_verifies_with_the_key_that_signed_it_old_or_new(signer):
    text = as_bytes(record(signer))
    assert verify(text, KEYS, [a_list(NEWER)], NOW).valid
    alone = verify(text, PublicKey(signer.public.raw), [a_list(signer)], NOW)
    assert alone.valid


def test_a_key_that_the_document_does_not_list_is_refused():
    stranger = Signer(bytes(32))
    found = verify(as_bytes(record(stranger)), KEYS, [a_list(NEWER)], NOW)
    assert (found.valid, found.checks["proof"]) == (False, "failed")
    assert "none of the issuer keys" in found.reasons[0]
    assert not verify(as_bytes(record(SIGNER)), KEYS, [a_list(stranger)], NOW).valid


def test_another_issuers_name_is_refused_though_the_key_is_known():
    other = did_web("https://elsewhere.example/issuers/1")
    assert not verify(as_bytes(record(SIGNER, other)), KEYS, [a_list(NEWER, other)], NOW).valid
    renamed = record(SIGNER)
    renamed["proof"]["verificationMethod"] = f"{other}#{SIGNER.public.multibase}"
    assert not verify(as_bytes(renamed), KEYS, [a_list(NEWER)], NOW).valid


@pytest.mark.parametrize(
    "text",
    [
        '{"verificationMethod": []}',
        '{"verificationMethod": "x"}',
        '{"verificationMethod": [{"id": "did:web:x#1", "publicKeyMultibase": "z6Mk"}]}',
        '{"verificationMethod": [7]}',
        "[]",
    ],
)
def test_a_document_without_good_keys_is_refused(text):
    with pytest.raises(InputProblem, match="issuer key"):
        read_keys(text)


def test_a_method_with_a_jwk_is_read():
    method = {"id": f"{DID}#k", "type": "JsonWebKey", "publicKeyJwk": SIGNER.public.jwk}
    (key,) = read_keys(json.dumps({"id": DID, "verificationMethod": [method]}))
    assert (key.raw, key.method) == (SIGNER.public.raw, f"{DID}#k")
