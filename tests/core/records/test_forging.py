"""Random changes: none that alters what a record says verifies, and none ends in an error.

The full counts (10,000 of each kind) are run by tests/benchmarks/forging.py.
"""

from tests.core.records.example import NOW, SIGNER, as_bytes, signed_list, signed_record
from tests.support.changes import same
from tests.support.forging import altered_that_verify, bytes_that_verify

RECORD = signed_record()
LISTS = [as_bytes(signed_list(1, 2))]
COUNT = 400


def test_no_change_to_what_it_says_verifies():
    altered, passed = altered_that_verify(RECORD, SIGNER.public, LISTS, NOW, COUNT, "ci")
    assert altered > COUNT * 0.8
    assert passed == []


def test_no_change_to_its_bytes_verifies():
    altered, passed = bytes_that_verify(as_bytes(RECORD), SIGNER.public, LISTS, NOW, COUNT, "ci")
    assert altered > COUNT * 0.8
    assert passed == []


def test_a_verifier_that_says_yes_to_all_would_be_caught(monkeypatch):
    class Yes:
        valid = True

    monkeypatch.setattr("tests.support.forging.verify", lambda *_: Yes)
    altered, passed = altered_that_verify(RECORD, SIGNER.public, LISTS, NOW, 50, "ci")
    assert len(passed) == altered > 0


def test_sameness_is_that_of_sets():
    assert same({"a": [1, 2], "b": ["x"]}, {"b": "x", "a": [2, 1]})
    assert not same({"a": [1, 2]}, {"a": [1, 2, 2]})
    assert not same({"a": True}, {"a": 1})
