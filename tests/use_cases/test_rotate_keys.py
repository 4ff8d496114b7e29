"""New keys for an academy: old records stay valid, on the site and offline, by either id."""

import json
from dataclasses import replace
from datetime import timedelta

import pytest
from openvc.did.did_web import DidWebResolver
from openvc.proof.data_integrity import DataIntegrityProofSuite

from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import Earned, a_record, issuing_in
from trainer.core.records.contexts import open_badges
from trainer.core.records.did_web import did_web
from trainer.core.records.keys import read_keys
from trainer.core.records.verify import verify
from trainer.store import records
from trainer.use_cases import rotate_keys, verify_record, withdraw
from trainer.use_cases.issuer_keys import public_keys, signer_of
from trainer.use_cases.keep_log import exported
from trainer.use_cases.refusals import InputProblem, NotFound


@pytest.fixture(params=["https://quayside.example", "http://127.0.0.1:8000"])
def issuing(request, tmp_path):
    """By a domain name (did:web), and on a local network (did:key)."""
    return replace(issuing_in(tmp_path), base_url=request.param)


@pytest.fixture
def holder(sqlite_work):
    return a_person(sqlite_work, name="Ines Dorval")


@pytest.fixture
def earned(monkeypatch):
    found = Earned({})
    found.put_in_place(monkeypatch)
    return found


def rotate(work, issuing, organisation="", now=NOW):
    with work.writing() as unit:
        return list(rotate_keys.rotate(unit, issuing.keys, organisation, now))


def offline(work, issuing, record_id, now=NOW):
    """Check with the files alone that the site gives out: record, DID document, status list."""
    with work.reading() as unit:
        row = records.record(unit, record_id)
        document = verify_record.did_document(unit, row.organisation_id, issuing)
        entry = json.loads(row.document)["credentialStatus"]
        tail = entry["statusListCredential"].partition("/status")[2].strip("/")
        listed = verify_record.status_list(unit, row.organisation_id, issuing, now, tail)
    assert listed["id"] == entry["statusListCredential"]
    keys = read_keys(json.dumps(document))
    return verify(row.document.encode(), keys, [json.dumps(listed).encode()], now)


def test_records_of_three_keys_all_hold(sqlite_work, bank, earned, issuing, holder):
    first = NOW - timedelta(days=3)
    made = [a_record(sqlite_work, bank, earned, issuing, holder, "tape_in", first)]
    for day, method in enumerate(("fusion_bond", "micro_link"), 1):
        later = NOW - timedelta(days=3 - day)
        rotate(sqlite_work, issuing, now=later)
        made.append(a_record(sqlite_work, bank, earned, issuing, holder, method, later))
    signed_by = set()
    for record_id in made:
        with sqlite_work.reading() as unit:
            shown = verify_record.show(unit, bank, record_id, issuing, NOW)
            key = verify_record.key_of_record(unit, record_id, issuing)
        assert shown.verification.valid, shown.verification
        assert offline(sqlite_work, issuing, record_id).valid
        signed_by.add(key.raw)
    assert len(signed_by) == 3


def test_a_record_of_a_retired_key_can_still_be_suspended_and_lifted(
    sqlite_work, bank, earned, issuing, holder
):
    record_id = a_record(sqlite_work, bank, earned, issuing, holder)
    rotate(sqlite_work, issuing)
    boss = a_person(sqlite_work, "administrator", organisation=holder.organisation)
    with sqlite_work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record_id, "A complaint is looked into.", NOW)
    found = offline(sqlite_work, issuing, record_id)
    assert found.reasons[0].startswith("No longer valid")
    with sqlite_work.writing(boss.viewer) as unit:
        later = NOW + timedelta(seconds=1)
        again = withdraw.reinstate(unit, record_id, "It was not upheld.", issuing, later)
    assert offline(sqlite_work, issuing, again, later).valid
    assert not offline(sqlite_work, issuing, record_id).valid


def test_secret_halves_are_kept_only_while_a_record_needs_them(
    sqlite_work, bank, earned, issuing, holder
):
    place = holder.organisation
    a_record(sqlite_work, bank, earned, issuing, holder)
    first = signer_of(issuing.keys, place).public
    file = issuing.keys / f"{place}.retired" / f"{first.multibase}.pem"
    rotate(sqlite_work, issuing, place)
    is_key_its_issuer = issuing.base_url.startswith("http:")
    assert (b"PRIVATE" in file.read_bytes()) is is_key_its_issuer
    rotate(sqlite_work, issuing, place, NOW + timedelta(days=500))
    assert b"PRIVATE" not in file.read_bytes()
    assert len(public_keys(issuing.keys, place)) == 3
    assert file.stat().st_mode & 0o777 == 0o600
    assert file.parent.stat().st_mode & 0o777 == 0o700


def test_after_all_has_ended_the_page_still_answers(sqlite_work, bank, earned, issuing, holder):
    record_id = a_record(sqlite_work, bank, earned, issuing, holder)
    later = NOW + timedelta(days=500)
    rotate(sqlite_work, issuing, now=later)
    with sqlite_work.reading() as unit:
        found = verify_record.show(unit, bank, record_id, issuing, later).verification
    assert (found.valid, found.checks["proof"], found.checks["time"]) == (False, "passed", "failed")


def test_a_rotation_is_logged_with_the_old_key(sqlite_work, issuing, holder):
    (line,) = rotate(sqlite_work, issuing, holder.organisation)
    assert line["old_key"] != line["new_key"]
    with sqlite_work.reading() as unit:
        told = [row for row in exported(unit) if row["kind"] == "key.rotated"]
        listed = list(rotate_keys.listed(unit, issuing.keys, holder.organisation))
    assert told[0]["said"]["body"] == {"old_key": line["old_key"]}
    assert [one["use"] for one in listed] == ["signs", "checks only"]
    assert [one["key"] for one in listed] == [line["new_key"], line["old_key"]]


def test_only_academies_have_keys(sqlite_work, issuing):
    salon = an_organisation(sqlite_work, kind="salon")
    assert rotate(sqlite_work, issuing) == []
    for place in (salon, "0" * 32):
        with pytest.raises(InputProblem, match="organisation"):
            rotate(sqlite_work, issuing, place)


def test_a_list_that_is_not_there_is_not_found(sqlite_work, issuing, holder):
    with sqlite_work.reading() as unit, pytest.raises(NotFound):
        verify_record.status_list(unit, holder.organisation, issuing, NOW, "0123")


def test_the_proof_library_finds_every_key_by_the_published_document(
    sqlite_work, bank, earned, issuing, holder
):
    """openvc-core resolves did:web by itself and checks that the document lets the key attest."""
    if not issuing.base_url.startswith("https:"):
        issuing = replace(issuing, base_url="https://quayside.example")
    place, made = holder.organisation, []
    for day, method in enumerate(("tape_in", "fusion_bond")):
        at = NOW - timedelta(days=2 - day)
        made.append(a_record(sqlite_work, bank, earned, issuing, holder, method, at))
        rotate(sqlite_work, issuing, place, at)

    def fetch(url):
        assert url == f"{issuing.page(place)}/did.json"
        with sqlite_work.reading() as unit:
            return verify_record.did_document(unit, place, issuing)

    for record_id in made:
        with sqlite_work.reading() as unit:
            signed = json.loads(records.record(unit, record_id).document)
        found = DataIntegrityProofSuite().verify(
            signed, resolver=DidWebResolver(fetch), now=NOW, extra_contexts=open_badges()
        )
        assert found.issuer == did_web(issuing.page(place))
