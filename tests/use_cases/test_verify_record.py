"""Our records by their page or file, other people's by file and key."""

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from tests.core.records import example
from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import Earned, a_record
from trainer.core.records.verify import verify
from trainer.store import records
from trainer.use_cases import verify_record
from trainer.use_cases.refusals import InputProblem, NotFound


@pytest.fixture
def holder(work):
    return a_person(work, name="Ines Dorval")


@pytest.fixture
def record_id(work, bank, monkeypatch, issuing, holder):
    earned = Earned({})
    earned.put_in_place(monkeypatch)
    return a_record(work, bank, earned, issuing, holder)


def document(work, record_id):
    with work.reading() as unit:
        return records.record(unit, record_id).document.encode()


def checked(work, issuing, text, key="", lists=()):
    with work.reading() as unit:
        return verify_record.check_file(unit, text, key, lists, issuing, NOW)


def test_a_page_shows_what_the_record_says(work, bank, issuing, record_id):
    with work.reading() as unit:
        found = verify_record.show(unit, bank, record_id, issuing, NOW)
    assert (found.holder, found.method) == ("Ines Dorval", "Tape-in")
    assert ("Assessment score", "35 of 40; 31 needed") in found.told
    assert len(found.evidence) == 3
    assert found.verification.checks["status"] == "passed"


def test_an_ended_record_is_not_valid(work, bank, issuing, record_id):
    with work.reading() as unit:
        found = verify_record.show(unit, bank, record_id, issuing, NOW + timedelta(days=500))
    assert found.verification.checks["time"] == "failed"


def test_a_file_of_ours_needs_no_key(work, issuing, record_id):
    text = document(work, record_id)
    assert checked(work, issuing, text).valid
    assert not checked(work, issuing, text.replace(b"fit", b"cut")).valid


def test_a_file_from_elsewhere_needs_its_issuers_key(work, issuing):
    text = example.as_bytes(example.signed_record())
    with pytest.raises(InputProblem, match="issuer key"):
        checked(work, issuing, text)
    key = example.SIGNER.public.multibase
    listed = example.as_bytes(example.signed_list())
    assert not checked(work, issuing, text, key).valid
    with work.reading() as unit:
        found = verify_record.check_file(unit, text, key, [listed], issuing, example.NOW)
    assert found.valid


def test_a_forgery_under_the_id_of_one_of_ours_is_refused(work, issuing, record_id):
    forged = example.signed_record()
    forged["id"] = json.loads(document(work, record_id))["id"]
    assert not checked(work, issuing, example.as_bytes(forged)).valid


def test_the_list_is_the_same_for_everyone_within_the_hour(work, issuing, holder, record_id):
    with work.reading() as unit:
        first = verify_record.status_list(unit, holder.organisation, issuing, NOW)
        later = NOW + timedelta(minutes=59)
        assert verify_record.status_list(unit, holder.organisation, issuing, later) == first


def test_a_site_reached_by_another_name_still_knows_its_records(
    work, bank, issuing, holder, record_id
):
    moved = replace(issuing, base_url="http://localhost:8000")
    with work.reading() as unit:
        assert verify_record.show(unit, bank, record_id, moved, NOW).verification.valid
        listed = json.dumps(
            verify_record.status_list(unit, holder.organisation, moved, NOW)
        ).encode()
        key = verify_record.key_of_record(unit, record_id, moved)
    assert verify(document(work, record_id), key, [listed], NOW).valid


def test_a_salon_is_no_issuer(work, issuing):
    salon = an_organisation(work, kind="salon")
    for place in (salon, "0" * 32):
        with work.reading() as unit, pytest.raises(NotFound):
            verify_record.issuer(unit, place, issuing)
