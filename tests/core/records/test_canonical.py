"""The direct path to the canonical form equals the general one, or steps aside."""

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.records.example import ISSUED, SIGNER, signed_list, signed_record
from tests.support.completions import completion, signer, status_list
from tests.support.two_paths import general
from trainer.core.draw import Draw
from trainer.core.records import canonical, proof
from trainer.core.records.canonical import OtherShape, canonical_document, canonical_proof
from trainer.core.records.proof import proof_faults, sign
from trainer.core.records.record import compose


def unsigned(document):
    return {name: part for name, part in document.items() if name != "proof"}


RECORD = unsigned(signed_record())


@settings(max_examples=60)
@given(st.integers(0, 10**9))
def test_a_record_comes_out_as_by_the_general_path(number):
    draw = Draw("record", number)
    document = compose(completion(draw, signer(draw)))
    assert canonical_document(document) == general(document)


@settings(max_examples=20)
@given(st.integers(0, 10**9))
def test_a_list_and_the_proof_options_come_out_as_by_the_general_path(number):
    draw = Draw("list", number)
    key = signer(draw)
    document = status_list(draw, key)
    assert canonical_document(document) == general(document)
    options = dict(sign(document, key, ISSUED)["proof"])
    del options["proofValue"]
    assert canonical_proof(options) == general({**options, "@context": document["@context"]})


def test_signing_by_either_path_gives_the_same_bytes(monkeypatch):
    direct = signed_record(), signed_list(7)

    def never(_):
        raise OtherShape("not today")

    monkeypatch.setattr(proof, "canonical_document", never)
    assert (signed_record(), signed_list(7)) == direct
    assert all(proof_faults(one, SIGNER.public) == [] for one in direct)


OTHER = [
    lambda one: one.update(note="also for wig pieces"),
    lambda one: one.update(name="two\nlines"),
    lambda one: one.update(name=7),
    lambda one: one.update(id="tape-in"),
    lambda one: one.update(id="https://schema.org/name"),
    lambda one: one.update(type="VerifiableCredential"),
    lambda one: one.update(evidence=[]),
    lambda one: one.update(evidence=one["evidence"][0]),
    lambda one: one["evidence"].append(one["evidence"][0]),
    lambda one: one["evidence"][0].update(id="urn:uuid:1"),
    lambda one: one["issuer"].update({"@context": {}}),
    lambda one: one["issuer"].update(id=one["id"]),
    lambda one: one["issuer"].pop("id"),
    lambda one: one.update({"@context": one["@context"][:1]}),
    lambda one: one.update({"@context": [*one["@context"], "https://x.example"]}),
    lambda one: one["credentialSubject"]["identifier"][0].update(hashed="true"),
    lambda one: one["credentialSubject"].update(achievement="urn:uuid:1"),
]


@pytest.mark.parametrize("change", OTHER)
def test_what_is_of_another_shape_is_left_to_the_general_path(change):
    document = copy.deepcopy(RECORD)
    change(document)
    with pytest.raises(OtherShape):
        canonical_document(document)


def test_the_vocabularies_hosts_are_known():
    assert {"https://schema.org", "https://purl.imsglobal.org"} <= set(canonical._hosts())


def test_a_record_with_a_control_character_is_signed_and_verified_by_the_library():
    document = {**RECORD, "name": "Tape-in:\tfit"}
    signed = sign(document, SIGNER, ISSUED)
    assert proof_faults(signed, SIGNER.public) == []
    assert proof_faults({**signed, "name": "Tape-in:\tremove"}, SIGNER.public)
