"""A good signature is not trust: what a record from elsewhere counts for, and until when."""

import json
from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.support.elsewhere import (
    FOR_TAPES,
    HOLDS,
    LIST,
    OTHER,
    FakeDoor,
    OtherAcademy,
    accept,
    check,
    keep,
)
from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import a_record
from trainer.core.records.did_web import did_document
from trainer.core.records.house_rules import HouseRules
from trainer.store import events, outside_records, people, records
from trainer.use_cases import (
    accept_issuer,
    check_status,
    clear_for_service,
    keep_house_rules,
    keep_outside_record,
    keep_people,
    list_outside_records,
)
from trainer.use_cases.clear_for_service import Ask
from trainer.use_cases.fetch_outside import Door
from trainer.use_cases.issuer_names import issuer_id, keys_of
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.work import Viewer

DAY = NOW.date()


@pytest.fixture
def stylist(work, salon):
    return a_person(work, organisation=salon, name="Noor Haddad")


def answer(work, bank, desk, stylist, service="fit", on=DAY, method="tape_in"):
    with work.reading(desk.viewer) as unit:
        ask = Ask(stylist.id, method, service, on)
        return clear_for_service.answer_many(unit, bank, [ask], 30)[0].clearance


def grounds(found):
    return [one.ground for one in found.reasons]


def test_a_record_counts_for_what_it_names_and_its_issuer_is_accepted_for(
    work, bank, desk, stylist
):
    record_id = keep(work, bank, desk, stylist)
    assert answer(work, bank, desk, stylist).answer == "not_cleared", "no issuer is accepted"
    accept(work, bank, desk)
    found = answer(work, bank, desk, stylist)
    assert (found.answer, grounds(found)) == ("not_cleared", ["status_not_checked"])
    assert check(work, desk, record_id).state == "in_force"
    assert answer(work, bank, desk, stylist).answer == "cleared"
    assert answer(work, bank, desk, stylist, "remove").answer == "cleared"
    assert answer(work, bank, desk, stylist, "maintain").answer == "not_cleared", "not named"
    assert answer(work, bank, desk, stylist, "consult").answer == "not_cleared", "not named"
    assert answer(work, bank, desk, stylist, method="micro_link").answer == "not_cleared"


def test_an_issuer_accepted_for_less_counts_for_less_and_ends_at_once(work, bank, desk, stylist):
    check_id = keep(work, bank, desk, stylist)
    accept(work, bank, desk, replace(FOR_TAPES, services=("remove",)))
    check(work, desk, check_id)
    assert answer(work, bank, desk, stylist).answer == "not_cleared"
    assert answer(work, bank, desk, stylist, "remove").answer == "cleared"
    accept(work, bank, desk, replace(FOR_TAPES, methods=("micro_link",)))
    assert answer(work, bank, desk, stylist, "remove").answer == "not_cleared"
    accepted = accept(work, bank, desk)
    assert answer(work, bank, desk, stylist).answer == "cleared"
    with work.writing(desk.viewer) as unit:
        accept_issuer.end(unit, accepted, NOW)
        accept_issuer.end(unit, accepted, NOW)
        assert accept_issuer.listed(unit) == []
    assert answer(work, bank, desk, stylist).answer == "not_cleared"


def test_a_mark_on_the_list_stops_it_for_good(work, bank, desk, stylist):
    accept(work, bank, desk)
    record_id = keep(work, bank, desk, stylist)
    check(work, desk, record_id)
    marking = OtherAcademy(marked={7})
    assert check(work, desk, record_id, marking).state == "marked"
    found = answer(work, bank, desk, stylist)
    assert (found.answer, grounds(found)) == ("not_cleared", ["record_marked"])
    assert check(work, desk, record_id).state == "marked", "a withdrawal is never taken back"


def test_a_status_that_was_not_looked_at_lately_does_not_clear(work, bank, desk, stylist):
    accept(work, bank, desk)
    record_id = keep(work, bank, desk, stylist)
    check(work, desk, record_id)
    last = DAY + timedelta(days=HOLDS)
    assert answer(work, bank, desk, stylist, on=last).answer == "cleared"
    late = answer(work, bank, desk, stylist, on=last + timedelta(days=1))
    assert (late.answer, grounds(late)) == ("not_cleared", ["status_not_checked"])
    assert "known until 17 March 2026" in late.reason
    check(work, desk, record_id, now=NOW + timedelta(days=10))
    assert answer(work, bank, desk, stylist, on=last + timedelta(days=1)).answer == "cleared"
    ended = answer(work, bank, desk, stylist, on=date(2027, 3, 4))
    assert grounds(ended) == ["record_ended_in_grace"]


def test_a_house_may_let_a_look_be_enough_for_less(work, bank, desk, stylist):
    accept(work, bank, desk)
    check(work, desk, keep(work, bank, desk, stylist))
    site = HouseRules(30, status_days=HOLDS)

    def set_days(method, days):
        with work.writing(desk.viewer) as unit:
            rules = replace(site, status_days=days)
            keep_house_rules.set_rules(unit, bank, method, rules, site, NOW)

    def days_cleared():
        days = [DAY + timedelta(days=ahead) for ahead in range(HOLDS + 2)]
        found = [answer(work, bank, desk, stylist, on=day).answer for day in days]
        return found.count("cleared") - 1

    assert days_cleared() == HOLDS
    set_days("micro_link", 0)
    assert days_cleared() == HOLDS, "another method's rule"
    set_days("", 5)
    assert days_cleared() == 5
    set_days("tape_in", 0)
    assert days_cleared() == 0, "on the day of the look alone"
    with work.reading(desk.viewer) as unit:
        (kept,) = list_outside_records.listed(unit, HOLDS)
    assert (kept.counts_until, kept.look_lasts) == (DAY, 0)
    set_days("tape_in", HOLDS)
    set_days("", HOLDS)
    assert days_cleared() == HOLDS


@pytest.mark.parametrize("wrong", ["other key", "old", "other place", "none"])
def test_a_list_that_cannot_be_relied_on_changes_nothing(work, bank, desk, stylist, wrong):
    accept(work, bank, desk)
    record_id = keep(work, bank, desk, stylist)
    made = {
        "other key": lambda: OtherAcademy(bytes(32)).status_list(NOW),
        "old": lambda: OTHER.status_list(NOW - timedelta(days=9)),
        "other place": lambda: OtherAcademy(address=f"{LIST}/2").status_list(NOW),
        "none": lambda: b"{}",
    }
    with work.writing(desk.viewer) as unit:
        found = check_status.check(unit, record_id, [made[wrong]()], NOW, HOLDS)
        row = outside_records.record(unit, record_id)
        assert (found.state, row.checked_at, row.state) == ("", None, "in_force")


def test_a_record_of_our_own_goes_on_counting_beside_one_from_elsewhere(
    work, bank, earned, issuing, desk, stylist
):
    academy = an_organisation(work)
    with work.writing() as unit:
        keep_people.join(unit, stylist.id, academy, ("apprentice",), NOW)
    trained = replace(stylist, organisation=academy, viewer=Viewer(stylist.id, academy))
    a_record(work, bank, earned, issuing, trained)
    accept(work, bank, desk)
    keep(work, bank, desk, stylist)
    assert answer(work, bank, desk, stylist, "maintain").answer == "cleared"
    assert answer(work, bank, desk, stylist, "fit").answer == "cleared", "not set back by a new one"


def test_it_counts_in_the_house_that_keeps_it_alone(work, bank, desk, stylist):
    accept(work, bank, desk)
    record_id = keep(work, bank, desk, stylist)
    check(work, desk, record_id)
    other = a_person(work, "salon_manager")
    with work.writing() as unit:
        keep_people.join(unit, stylist.id, other.organisation, ("apprentice",), NOW)
    assert answer(work, bank, other, stylist).answer == "not_cleared"
    with work.writing(other.viewer) as unit:
        assert list_outside_records.listed(unit, HOLDS) == []
        for act in (
            lambda: keep_outside_record.remove(unit, record_id, NOW),
            lambda: check_status.lists_of(unit, record_id),
        ):
            with pytest.raises(NotFound):
                act()


def test_what_is_looked_at_says_whose_name_it_carries(work, bank, desk, stylist):
    accept(work, bank, desk)
    with work.reading(desk.viewer) as unit:
        found = keep_outside_record.look(unit, bank, OTHER.record("Noor Haddad"), NOW)
        stranger = keep_outside_record.look(unit, bank, OTHER.record("Somebody Else"), NOW)
    assert (found.fits, stranger.fits) == ([stylist.id], [])
    assert found.counts == ("fit", "remove")
    assert (found.said.lists, found.said.method) == ((LIST,), "tape_in")


def test_it_is_kept_for_nobody_but_whom_it_names(work, bank, desk, stylist, salon):
    other = a_person(work, organisation=salon, name="Bo Hart")
    with pytest.raises(InputProblem, match="issued to somebody called Noor Haddad"):
        keep(work, bank, desk, other)
    keep(work, bank, desk, stylist)
    with work.writing(desk.viewer) as unit:  # a name of marriage: then it names nobody here
        people.person(unit, stylist.id).name = "Noor Ashby"
    with pytest.raises(InputProblem, match="kept for Noor Ashby"):
        keep(work, bank, desk, other)


def test_kept_once_with_agreement_listed_and_let_go(work, bank, desk, stylist):
    with pytest.raises(InputProblem, match="agreed"):
        keep(work, bank, desk, stylist, agreed=False)
    first = keep(work, bank, desk, stylist)
    spaced = json.dumps(json.loads(OTHER.record("Noor Haddad")), indent=2).encode()
    assert keep(work, bank, desk, stylist, spaced) == first
    with work.writing(desk.viewer) as unit:
        (kept,) = list_outside_records.listed(unit, HOLDS)
        assert (kept.person, kept.checked_at) == ("Noor Haddad", None)
        assert "not accepted" in kept.why_not
        keep_outside_record.remove(unit, first, NOW)
        assert list_outside_records.listed(unit, HOLDS) == []
    with work.reading() as unit:
        told = [row.kind for row in events.all_in_order(unit)]
    assert [kind for kind in told if kind.startswith("outside")] == [
        "outside_record.kept",
        "outside_record.removed",
    ]


def changed(**more):
    document = json.loads(OTHER.record("Noor Haddad"))
    return json.dumps(document | more).encode()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "no record"),
        (b"{", "JSON"),
        (b"{}", "Open Badges"),
        (changed(name="Micro-link"), "signature does not fit"),
        (changed(validUntil="2030-01-01T00:00:00Z"), "signature does not fit"),
        (OTHER.record("Noor Haddad", since=NOW + timedelta(days=2)), "not in force before"),
        (b'{"a": 1, "a": 2}', "two ways"),
        (b" " * 100_001, "no record"),
    ],
)
def test_what_is_not_in_order_is_not_kept(work, bank, desk, stylist, content, said):
    accept(work, bank, desk)
    with pytest.raises(InputProblem, match=said):
        keep(work, bank, desk, stylist, content)


def test_a_record_issued_here_needs_no_keeping(work, bank, earned, issuing, desk, stylist):
    academy = a_person(work, name="Noor Haddad")
    record_id = a_record(work, bank, earned, issuing, academy)
    with work.writing(desk.viewer) as unit:
        document = records.record(unit, record_id).document.encode()
        issuer = issuer_id(issuing, academy.organisation)
        keys = json.dumps(
            {
                "id": issuer,
                "verificationMethod": [
                    k.multikey for k in keys_of(unit, issuing, academy.organisation)
                ],
            }
        )
        identity = accept_issuer.identify(keys, Door())
        accept_issuer.accept(unit, bank, identity, FOR_TAPES, NOW)
        assert keep_outside_record.look(unit, bank, document, NOW).ours
    with pytest.raises(InputProblem, match="issued here"):
        keep(work, bank, desk, stylist, document)


@pytest.mark.parametrize(
    "wish",
    [
        replace(FOR_TAPES, name=" "),
        replace(FOR_TAPES, name="x" * 81),
        replace(FOR_TAPES, methods=("glue_gun",)),
        replace(FOR_TAPES, services=()),
    ],
)
def test_an_issuer_is_accepted_for_something_under_a_name(work, bank, desk, wish):
    with pytest.raises(InputProblem):
        accept(work, bank, desk, wish)


def test_an_instructor_sees_issuers_but_does_not_decide(work, bank, salon):
    teacher = a_person(work, "instructor", organisation=salon)
    with work.reading(teacher.viewer) as unit:
        assert accept_issuer.listed(unit) == []
    with pytest.raises(Forbidden):
        accept(work, bank, teacher)


def test_a_did_web_is_looked_up_where_it_stands():
    did = "did:web:other.example:issuers:9"
    document = json.dumps(did_document(did, [OTHER.signer.public])).encode()
    door = FakeDoor({"https://other.example/issuers/9/did.json": document})
    assert accept_issuer.identify(f" {did} ", door).issuer == did
    with pytest.raises(InputProblem, match="somebody else"):
        bad = FakeDoor({"https://evil.example/did.json": document})
        bad.files["https://evil.example/.well-known/did.json"] = document
        accept_issuer.identify("did:web:evil.example", bad)
    with pytest.raises(InputProblem, match="no did:web"):
        accept_issuer.identify("did:web:other.example:..:x", door)
