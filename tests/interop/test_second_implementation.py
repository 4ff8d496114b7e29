"""Another implementation of eddsa-rdfc-2022 verifies our records, and ours verifies its.

The libraries stand in package.json beside this file: @digitalbazaar/vc and its cryptosuite.
"""

import copy

import pytest

from tests.core.records.example import ISSUED, SIGNER, as_bytes, signed_list, signed_record
from tests.interop.second import installed, running
from tests.support.changes import changed, same
from tests.support.completions import completion, signer
from trainer.core.draw import Draw
from trainer.core.records.instants import write_instant
from trainer.core.records.proof import proof_faults, sign
from trainer.core.records.record import compose
from trainer.core.records.verify import verify

RECORDS = range(25)


@pytest.fixture(scope="module")
def second(tmp_path_factory):
    with running(installed(tmp_path_factory.mktemp("second"))) as process:
        yield process


def made(number):
    draw = Draw("interop", number)
    key = signer(draw)
    said = completion(draw, key)
    return sign(compose(said), key, said.valid_from), key, said.valid_from


def test_it_verifies_our_records_and_lists(second):
    for number in RECORDS:
        document, _, since = made(number)
        found = second.verify(document, write_instant(since))
        assert found["verified"], (number, found["why"])
    listed = second.verify(signed_list(3), write_instant(ISSUED))
    assert listed["verified"], listed["why"]


def test_it_refuses_what_we_refuse(second):
    record = signed_record()
    refused = 0
    for number in RECORDS:
        document = changed(record, Draw("interop change", number))
        if same(document, record) or "proof" not in document:
            continue
        if document["proof"] != record["proof"]:
            continue
        assert not second.verify(document, write_instant(ISSUED))["verified"], document
        assert proof_faults(document, SIGNER.public)
        refused += 1
    assert refused > len(RECORDS) / 3


def test_we_verify_its_records_and_refuse_them_changed(second):
    for number in RECORDS:
        ours, key, since = made(number)
        unsigned = {name: part for name, part in ours.items() if name != "proof"}
        method = ours["proof"]["verificationMethod"]
        theirs = second.sign(unsigned, key, method, write_instant(since))
        assert theirs == ours
        assert proof_faults(theirs, key.public) == []
        other = copy.deepcopy(theirs)
        other["credentialSubject"]["achievement"]["humanCode"] = "wig_piece"
        assert proof_faults(other, key.public)


def test_its_record_passes_every_check_of_ours(second):
    ours = signed_record()
    unsigned = {name: part for name, part in ours.items() if name != "proof"}
    method = SIGNER.public.did_method
    theirs = second.sign(unsigned, SIGNER, method, write_instant(ISSUED))
    found = verify(as_bytes(theirs), SIGNER.public, [as_bytes(signed_list(3))], ISSUED)
    assert found.valid, found
