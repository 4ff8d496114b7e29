"""What a record says, how keys and files are read, and the time window."""

import json
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.records.example import (
    COMPLETION,
    ISSUED,
    NOW,
    SIGNER,
    UNTIL,
    as_bytes,
    signed_list,
    signed_record,
)
from trainer.core.problems import InputProblem
from trainer.core.records.keys import PublicKey, read_key
from trainer.core.records.proof import sign
from trainer.core.records.record import (
    compose,
    is_without_holder,
    name_hash,
    names_holder,
    without_holder,
)
from trainer.core.records.verify import verify

RECORD = signed_record()
WITHOUT_STATUS = as_bytes(
    sign(
        {name: RECORD[name] for name in RECORD if name not in ("credentialStatus", "proof")},
        SIGNER,
        ISSUED,
    )
)


def test_it_says_method_services_form_bank_confidence_observer_and_issuer():
    subject = RECORD["credentialSubject"]
    told = {one["id"]: one["name"] for one in subject["achievement"]["resultDescription"]}
    values = {told[one["resultDescription"]]: one["value"] for one in subject["result"]}
    assert values == {
        "Assessment score": "35",
        "Assessment passed on": "2026-02-20",
        "Fingerprint of the assessment form": "9c41f2",
        "Version of the question bank": "a1b2c3",
        "Probability that the decision is right": "0.97",
    }
    assert subject["achievement"]["humanCode"] == "tape_in"
    assert subject["achievement"]["tag"] == ["fit", "maintain", "remove"]
    assert all("Petra Lindqvist" in one["narrative"] for one in RECORD["evidence"])
    assert RECORD["issuer"]["id"] == SIGNER.public.did


def test_the_name_stands_in_it_only_as_a_salted_hash():
    assert "Ines" not in json.dumps(RECORD)
    assert names_holder(RECORD, "Ines Dorval")
    assert not names_holder(RECORD, "ines dorval")
    assert name_hash("a", "b") != name_hash("a", "c")


def test_without_its_holder_it_says_only_who_issued_it_and_where_its_status_stands():
    left = without_holder(RECORD)
    assert is_without_holder(left) and not is_without_holder(RECORD)
    assert left["proof"] == {"verificationMethod": RECORD["proof"]["verificationMethod"]}
    assert left["credentialStatus"] == RECORD["credentialStatus"]
    said = json.dumps(left)
    for personal in ("Petra", "tape_in", RECORD["credentialSubject"]["id"], "2026-02-20"):
        assert personal not in said
    assert without_holder(left) == left and without_holder({}) == {}


def test_a_record_of_nothing_observed_is_not_written():
    with pytest.raises(ValueError, match="observed"):
        compose(replace(COMPLETION, observed=()))


@given(st.integers(-400 * 86_400, 800 * 86_400))
def test_it_holds_from_its_first_to_its_last_moment(seconds):
    now = ISSUED + timedelta(seconds=seconds)
    assert verify(WITHOUT_STATUS, SIGNER.public, [], now).valid is (ISSUED <= now <= UNTIL)


def test_the_ends_of_the_window_belong_to_it():
    second = timedelta(seconds=1)
    for now, time in (
        (ISSUED, "passed"),
        (UNTIL, "passed"),
        (ISSUED - second, "failed"),
        (UNTIL + second, "failed"),
    ):
        assert verify(as_bytes(RECORD), SIGNER.public, [], now).checks["time"] == time


@pytest.mark.parametrize("text", [b"", b"\xff\xfe", b"[]", b"{", b'{"a": NaN}', b"[" * 9000])
def test_a_file_that_is_no_record_at_all_is_unreadable(text):
    with pytest.raises(InputProblem, match="record"):
        verify(text, SIGNER.public, [], NOW)


def test_a_broken_pair_of_characters_is_unreadable():
    with pytest.raises(InputProblem):
        verify(b'{"name": "\\ud800"}', SIGNER.public, [], NOW)


def forms(key):
    return [json.dumps(key.jwk), json.dumps(key.multikey), key.multibase, key.did]


@given(st.binary(min_size=32, max_size=32))
def test_every_form_of_a_key_is_the_same_key(raw):
    assert {read_key(form).raw for form in forms(PublicKey(raw))} == {raw}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "hello",
        "z6Mk",
        "{}",
        '{"kty": "OKP", "crv": "X25519", "x": "AAAA"}',
        '{"kty": "OKP", "crv": "Ed25519", "x": "AAAA"}',
        '{"kty": "OKP", "crv": "Ed25519", "x": "AAAA", "d": "AAAA"}',
        "-----BEGIN PUBLIC KEY-----\nAAAA\n-----END PUBLIC KEY-----",
        b"\xff",
    ],
)
def test_what_is_no_public_key_is_refused(text):
    with pytest.raises(InputProblem, match="issuer key"):
        read_key(text)


def test_a_key_that_names_another_method_is_not_the_one():
    key = replace(SIGNER.public, method="did:key:zOther#zOther")
    assert not verify(as_bytes(RECORD), key, [as_bytes(signed_list())], NOW).valid
