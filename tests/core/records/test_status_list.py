"""Status lists: what is read, what is refused, and that nothing is unpacked without bound."""

import base64
import copy
import gzip

import pytest

from tests.core.records.example import (
    COMPLETION,
    ISSUED,
    LIST,
    NOW,
    SIGNER,
    as_bytes,
    signed_list,
    signed_record,
)
from trainer.core.problems import InputProblem
from trainer.core.records.keys import Signer
from trainer.core.records.proof import sign
from trainer.core.records.status_list import SIZE, entry
from trainer.core.records.verify import verify

RECORD = signed_record()
INDEX = COMPLETION.status_index


def said(*lists, record=RECORD, now=NOW):
    return verify(as_bytes(record), SIGNER.public, [as_bytes(one) for one in lists], now)


def resigned(change):
    """A list that the issuer itself signed, changed before signing."""
    unsigned = {name: part for name, part in signed_list().items() if name != "proof"}
    unsigned = copy.deepcopy(unsigned)
    change(unsigned)
    return sign(unsigned, SIGNER, ISSUED)


def packed(size):
    return "u" + base64.urlsafe_b64encode(gzip.compress(bytes(size), mtime=0)).decode().rstrip("=")


def test_only_the_records_own_bit_counts():
    assert said(signed_list(INDEX - 1, INDEX + 1)).valid
    found = said(signed_list(INDEX))
    assert (found.valid, found.checks["status"]) == (False, "failed")
    assert found.reasons[0].startswith("No longer valid")


@pytest.mark.parametrize("index", [0, 7, 8, SIZE - 1])
def test_bit_nought_is_the_leftmost(index):
    bits = gzip.decompress(
        base64.urlsafe_b64decode(signed_list(index)["credentialSubject"]["encodedList"][1:] + "==")
    )
    assert len(bits) * 8 == SIZE
    assert bits[index // 8] == 0x80 >> index % 8


def test_an_entry_outside_the_list_is_never_written():
    for index in (-1, SIZE):
        with pytest.raises(ValueError, match="index"):
            entry(LIST, index)


@pytest.mark.parametrize(
    "change",
    [
        lambda one: one["credentialSubject"].update(statusPurpose="suspension"),
        lambda one: one["credentialSubject"].update(encodedList=packed(SIZE // 8 - 1)),
        lambda one: one["credentialSubject"].update(encodedList=packed(17 * 1024 * 1024)),
        lambda one: one["credentialSubject"].update(encodedList="uAAAA"),
        lambda one: one["credentialSubject"].update(encodedList=packed(SIZE // 8)[1:]),
        lambda one: one.update(validUntil="2026-05-01T00:00:00Z"),
        lambda one: one.update(validFrom="2026-07-01T00:00:00Z"),
        lambda one: one.update(type=["VerifiableCredential"]),
    ],
    ids=["purpose", "short", "bomb", "no gzip", "no prefix", "old", "early", "kind"],
)
def test_a_list_that_breaks_a_rule_is_refused(change):
    found = said(resigned(change))
    assert (found.valid, found.checks["status"]) == (False, "failed")


def test_a_strangers_list_is_refused():
    assert not said(signed_list(signer=Signer(bytes(32)))).valid


def test_one_bad_list_of_two_is_enough():
    assert not said(signed_list(), signed_list(INDEX)).valid


def test_every_entry_of_an_array_is_checked():
    other = {**entry(LIST + "/2", 5)}
    unsigned = {name: part for name, part in RECORD.items() if name != "proof"}
    both = sign({**unsigned, "credentialStatus": [entry(LIST, INDEX), other]}, SIGNER, ISSUED)
    assert said(signed_list(), record=both).checks["status"] == "not_checked"
    second = resigned(lambda one: one.update(id=LIST + "/2"))
    assert said(signed_list(), second, record=both).valid


def test_an_unreadable_list_is_said_to_be_so():
    with pytest.raises(InputProblem, match="status list"):
        verify(as_bytes(RECORD), SIGNER.public, [b"\\xff"], NOW)
