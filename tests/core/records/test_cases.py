"""Every case comes out as its table says, with every form of key."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from trainer.core.records.keys import read_key
from trainer.core.records.verify import verify

CASES = Path(__file__).parent / "cases"
TABLE = json.loads((CASES / "cases.json").read_text())
FORMS = ("issuer.jwk.json", "issuer.pem", "issuer.multikey.json", "issuer.multibase.txt")
NOW = datetime(2026, 6, 1, tzinfo=UTC)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("case", TABLE, ids=lambda case: case["id"])
def test_a_case_is_judged_as_its_table_says(case, form):
    key = read_key((CASES / case["issuer_key"] / form).read_bytes())
    lists = [(CASES / name).read_bytes() for name in case["status_lists"]]
    found = verify((CASES / case["file"]).read_bytes(), key, lists, NOW)
    assert found.valid is case["valid"], found
    assert found.reasons


def test_without_a_list_the_status_is_not_checked_and_the_words_say_so():
    key = read_key((CASES / "keys/academy/issuer.pem").read_bytes())
    found = verify((CASES / "cases/valid-status.json").read_bytes(), key, [], NOW)
    assert found.checks == {
        "shape": "passed",
        "proof": "passed",
        "status": "not_checked",
        "time": "passed",
    }
    assert not found.valid
    assert "none was given" in found.reasons[0]


def test_a_set_bit_reads_no_longer_valid():
    key = read_key((CASES / "keys/academy/issuer.pem").read_bytes())
    lists = [(CASES / "status/revocation.json").read_bytes()]
    found = verify((CASES / "cases/invalid-revoked.json").read_bytes(), key, lists, NOW)
    assert found.checks["status"] == "failed"
    assert found.reasons[0].startswith("No longer valid")
