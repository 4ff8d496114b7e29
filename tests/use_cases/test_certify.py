"""A record is issued when it is earned, once, by those who train."""

import json
from datetime import UTC, date, datetime, timedelta

import pytest

from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import ADDRESS, a_record, evidence
from trainer.core.records.canonical import canonical_document, canonical_proof
from trainer.core.records.verify import verify
from trainer.store import events, records, standings
from trainer.use_cases import certify
from trainer.use_cases.issuer_keys import signer_of
from trainer.use_cases.verify_record import status_list


def consider(work, bank, issuing, someone, method="tape_in", now=NOW, organisation=""):
    with work.writing() as unit:
        place = organisation or someone.organisation
        return certify.consider(unit, bank, someone.id, place, method, issuing, now)


def words(work, someone, method="tape_in"):
    with work.reading() as unit:
        rows = standings.of_person(unit, someone.id, method)
        return {row.service: row.word for row in rows}


def test_what_is_issued_verifies_offline(work, bank, earned, issuing):
    someone = a_person(work, name="Ines Dorval")
    record_id = a_record(work, bank, earned, issuing, someone)
    with work.reading() as unit:
        text = records.record(unit, record_id).document
        listed = json.dumps(status_list(unit, someone.organisation, issuing, NOW)).encode()
    key = signer_of(issuing.keys, someone.organisation).public
    assert verify(text.encode(), key, [listed], NOW).valid
    assert "Ines" not in text
    document = json.loads(text)
    assert document["issuer"]["url"] == f"{ADDRESS}/issuers/{someone.organisation}"
    assert document["credentialSubject"]["achievement"]["humanCode"] == "tape_in"


def test_the_standing_follows_at_once(work, bank, earned, issuing):
    someone = a_person(work)
    earned.known[someone.id, "tape_in"] = evidence(passed_on=None, observed=("fit",))
    assert consider(work, bank, issuing, someone) is None
    assert set(words(work, someone).values()) == {"working_towards"}
    earned.known[someone.id, "tape_in"] = evidence()
    assert consider(work, bank, issuing, someone)
    assert set(words(work, someone).values()) == {"competent"}
    assert len(words(work, someone)) == 5


@pytest.mark.parametrize(
    "known", [evidence(passed_on=None), evidence(observed=("fit", "maintain")), evidence("", None)]
)
def test_with_something_missing_nothing_is_issued(work, bank, earned, issuing, known):
    someone = a_person(work)
    earned.known[someone.id, "tape_in"] = known
    assert consider(work, bank, issuing, someone) is None
    with work.reading() as unit:
        assert records.held(unit, someone.id) == []


def test_the_same_passed_sitting_gives_one_record(work, bank, earned, issuing):
    someone = a_person(work)
    first = a_record(work, bank, earned, issuing, someone)
    assert consider(work, bank, issuing, someone) == first
    with work.reading() as unit:
        assert len(records.held(unit, someone.id, "tape_in")) == 1


def test_a_second_passed_sitting_does_not_issue_beside_a_record_in_force(
    work, bank, earned, issuing
):
    someone = a_person(work)
    a_record(work, bank, earned, issuing, someone)
    later = NOW + timedelta(days=60)
    earned.known[someone.id, "tape_in"] = evidence("s2", later.date(), observed_on=later.date())
    assert consider(work, bank, issuing, someone, now=later) is None


def test_near_its_end_a_new_sitting_and_new_work_renew_it(work, bank, earned, issuing):
    someone = a_person(work)
    first = a_record(work, bank, earned, issuing, someone)
    later = datetime(2027, 2, 20, 9, 0, tzinfo=UTC)
    day = date(2027, 2, 15)
    earned.known[someone.id, "tape_in"] = evidence("s2", day)
    assert consider(work, bank, issuing, someone, now=later) is None
    earned.known[someone.id, "tape_in"] = evidence("s2", day, observed_on=day)
    second = consider(work, bank, issuing, someone, now=later)
    assert second not in (None, first)


@pytest.mark.parametrize(
    ("method", "until"), [("tape_in", date(2027, 3, 3)), ("clip_in", date(2028, 3, 3))]
)
def test_bonded_methods_hold_a_year_and_others_two(work, bank, earned, issuing, method, until):
    someone = a_person(work)
    record_id = a_record(work, bank, earned, issuing, someone, method)
    with work.reading() as unit:
        assert records.record(unit, record_id).valid_until.date() == until


def test_only_an_academy_that_trains_the_person_issues(work, bank, earned, issuing):
    someone = a_person(work)
    earned.known[someone.id, "tape_in"] = evidence()
    elsewhere = an_organisation(work)
    salon = a_person(work, organisation=an_organisation(work, kind="salon"))
    earned.known[salon.id, "tape_in"] = evidence("s3")
    boss = a_person(work, "instructor")
    earned.known[boss.id, "tape_in"] = evidence("s4")
    assert consider(work, bank, issuing, someone, organisation=elsewhere) is None
    assert consider(work, bank, issuing, salon) is None
    assert consider(work, bank, issuing, boss) is None


def test_the_issue_is_in_the_log(work, bank, earned, issuing):
    someone = a_person(work)
    record_id = a_record(work, bank, earned, issuing, someone)
    with work.reading() as unit:
        last = events.last(unit)
        assert last.kind == "record.issued"
        assert record_id in [row.body.get("record") for row in events.bodies(unit)]


def test_places_on_the_list_are_drawn_at_random_and_never_shared(work, bank, earned, issuing):
    place = an_organisation(work)
    people = [a_person(work, organisation=place) for _ in range(4)]
    ids = [a_record(work, bank, earned, issuing, one) for one in people]
    with work.reading() as unit:
        documents = [json.loads(records.record(unit, one).document) for one in ids]
    places = [int(one["credentialStatus"]["statusListIndex"]) for one in documents]
    assert len(set(places)) == 4
    assert sorted(places) != list(range(min(places), min(places) + 4))


def test_a_taken_place_is_drawn_again(work):
    place = an_organisation(work)
    draws = iter([7, 7, 9])
    with work.writing() as unit:
        assert records.take_place(unit, place, "a" * 32, lambda: next(draws)) == 7
        assert records.take_place(unit, place, "b" * 32, lambda: next(draws)) == 9
        with pytest.raises(RuntimeError, match="full"):
            records.take_place(unit, place, "c" * 32, lambda: 7)


def test_a_record_names_the_occupational_standard_by_its_code(work, bank, earned, issuing):
    """Codes as UK national occupational standards print them: SKAHDBR15, SKAHDBR14."""
    someone = a_person(work)
    codes = {}
    for method in ("fusion_bond", "clip_in", "tape_in"):
        record_id = a_record(work, bank, earned, issuing, someone, method)
        with work.reading() as unit:
            achievement = json.loads(records.record(unit, record_id).document)["credentialSubject"][
                "achievement"
            ]
        codes[method] = [one["targetCode"] for one in achievement.get("alignment", [])]
        for one in achievement.get("alignment", []):
            assert one["targetFramework"] == "UK national occupational standard"
            assert "hair" in one["targetName"]
    assert codes == {"fusion_bond": ["SKAHDBR15"], "clip_in": ["SKAHDBR14"], "tape_in": []}


def test_what_the_site_issues_takes_the_direct_path(work, bank, earned, issuing):
    """Else every check of it would cost fifty times as much: a new member needs its line."""
    someone = a_person(work)
    for method in bank.methods:
        record_id = a_record(work, bank, earned, issuing, someone, method)
        with work.reading() as unit:
            document = json.loads(records.record(unit, record_id).document)
            listed = status_list(unit, someone.organisation, issuing, NOW)
        for signed in (document, listed):
            proof = signed.pop("proof")
            assert canonical_document(signed)
            assert canonical_proof({k: v for k, v in proof.items() if k != "proofValue"})
