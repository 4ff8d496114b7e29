"""A house asks, a person answers: only their yes makes a member, and until then nothing is told."""

import socket
from contextlib import contextmanager
from datetime import date, timedelta

import pytest

from tests.support.people import NOW, PASSWORD, PASSWORDS, a_person, join_by
from trainer.store import events, offers, people
from trainer.use_cases import (
    answer_offer,
    clear_for_service,
    keep_people,
    list_team,
    offer_membership,
    see_needs,
)
from trainer.use_cases.clear_for_service import Ask
from trainer.use_cases.offer_membership import DECLINED, OPEN, RAN_OUT, TWICE, Wanted
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.send_mail import Letters
from trainer.use_cases.send_offers import send_offers
from trainer.use_cases.work import NOBODY, Viewer

LASTS = timedelta(days=14)
NEW = "nobody.yet@example.org"


@pytest.fixture
def boss(work):
    return a_person(work, "administrator", "salon_manager", name="Odile Farr")


@pytest.fixture
def fen(work):
    """Somebody who belongs to another house."""
    return a_person(work, "apprentice", name="Fen Marsh")


def ask(work, boss, email, roles=("apprentice",), groups=(), at=NOW):
    with work.writing(boss.viewer) as unit:
        wanted = Wanted("Some Name", email, roles, groups)
        return offer_membership.offer(unit, wanted, LASTS, at)


def listed(work, boss, at=NOW):
    with work.reading(boss.viewer) as unit:
        return offer_membership.list_offers(unit, at)


def mine(work, someone, at=NOW):
    with work.reading(Viewer(someone.id)) as unit:
        return answer_offer.mine(unit, at)


def accept(work, someone, offer_id, at=NOW):
    with work.writing(Viewer(someone.id)) as unit:
        return answer_offer.accept(unit, offer_id, at)


def test_nobody_is_a_member_before_their_yes(work, bank, boss, fen):
    """Neither list, desk nor team knows them; after it, all do, under the name they have."""
    cleared = Ask(fen.id, "tape_in", "fit", date(2026, 3, 10))
    ask(work, boss, fen.email.upper())
    with work.reading(boss.viewer) as unit:
        assert [one.id for one in keep_people.list_members(unit)] == [boss.id]
        assert list_team.page(unit, "", 9).people == []
        with pytest.raises(NotFound):
            keep_people.see_member(unit, fen.id)
        with pytest.raises(NotFound):
            clear_for_service.answer(unit, bank, cleared, 30)
    (offered,) = mine(work, fen)
    assert accept(work, fen, offered.id) == boss.organisation
    with work.reading(boss.viewer) as unit:
        assert keep_people.see_member(unit, fen.id).name == "Fen Marsh"
        assert [one.name for one in list_team.page(unit, "", 9).people] == ["Fen Marsh"]
        assert clear_for_service.answer(unit, bank, cleared, 30).clearance.answer == "not_cleared"
    assert (listed(work, boss), mine(work, fen)) == ([], ())
    with work.reading(fen.viewer) as unit:
        places = people.memberships_of(unit, fen.id)
    assert {place.id for _, place in places} == {fen.organisation, boss.organisation}


def test_what_the_house_sees_is_the_same_whoever_has_the_address(work, boss, fen):
    """Also of somebody without a password, of a closed account, and of one who has left here."""
    closed, left = a_person(work), a_person(work, organisation=boss.organisation)
    with work.writing(boss.viewer) as unit:
        keep_people.disable(unit, closed.id, True, NOW)
        keep_people.end_membership(unit, left.id, NOW)
        keep_people.add_person(unit, "Not Opened", "not.opened@example.org", NOW)
    emails = [NEW, fen.email, closed.email, left.email, "not.opened@example.org"]
    assert all(len(ask(work, boss, one)) == len(ask(work, boss, f"x{one}")) for one in emails)
    seen = {one.email: one for one in listed(work, boss)}
    assert set(emails) < set(seen)
    assert {(o.roles, o.groups, o.state, o.until, o.may_withdraw) for o in seen.values()} == {
        (("apprentice",), (), OPEN, NOW + LASTS, True)
    }
    for one in emails:
        with pytest.raises(InputProblem, match="asked already"):
            ask(work, boss, one, at=NOW + TWICE)


def test_a_new_person_says_yes_with_a_password_and_comes_into_the_groups(work, boss):
    with work.writing(boss.viewer) as unit:
        friday = keep_people.make_group(unit, "Friday")
    other = a_person(work, "administrator")
    with work.writing(other.viewer) as unit:
        foreign = keep_people.make_group(unit, "Not ours")
    token = ask(work, boss, NEW, ("instructor", "administrator"), (friday, foreign))
    with work.reading() as unit:
        assert people.by_email(unit, NEW) is None
    join_by(work, token)
    with work.reading(boss.viewer) as unit:
        (member,) = [one for one in keep_people.list_members(unit) if one.email == NEW]
    assert (member.name, member.groups) == ("Some Name", ("Friday",))
    assert member.roles == ("administrator", "instructor") and not member.invited
    with pytest.raises(InputProblem, match="was used"):
        join_by(work, token)


def test_a_link_opens_no_account_that_is_there(work, boss, fen):
    """Nor one without a password that another house has made."""
    token = ask(work, boss, fen.email)
    with pytest.raises(InputProblem, match="this address has one"):
        join_by(work, token)
    with work.writing() as unit:
        ada = keep_people.add_person(unit, "Ada Quill", NEW, NOW)
        keep_people.join(unit, ada, fen.organisation, ["apprentice"], NOW)
    with pytest.raises(InputProblem, match="this address has one"):
        join_by(work, ask(work, boss, NEW))
    with work.reading() as unit:
        assert people.person(unit, ada).password_hash == ""
        kept = people.person(unit, fen.id).password_hash
    assert PASSWORDS.fits(kept, PASSWORD) and len(mine(work, fen)) == 1


def test_an_account_that_this_house_made_and_nobody_opened_is_opened_by_its_link(work, boss):
    with work.writing() as unit:
        ada = keep_people.add_person(unit, "Ada Quill", NEW, NOW)
        keep_people.join(unit, ada, boss.organisation, ["apprentice"], NOW)
    with work.writing(boss.viewer) as unit:
        keep_people.end_membership(unit, ada, NOW)
    join_by(work, ask(work, boss, NEW))
    with work.reading(boss.viewer) as unit:
        assert keep_people.see_member(unit, ada).name == "Ada Quill"


def test_only_the_one_who_is_asked_can_answer(work, boss, fen):
    ask(work, boss, fen.email)
    (offered,) = mine(work, fen)
    for other in (boss, a_person(work)):
        assert mine(work, other) == ()
        with work.writing(other.viewer) as unit:
            with pytest.raises(NotFound):
                answer_offer.accept(unit, offered.id, NOW)
            with pytest.raises(NotFound):
                answer_offer.decline(unit, offered.id, NOW)
    with work.reading(NOBODY) as unit, pytest.raises(Forbidden):
        answer_offer.mine(unit, NOW)


def test_a_no_stands_and_is_not_asked_over_and_over(work, boss, fen):
    ask(work, boss, fen.email)
    (offered,) = mine(work, fen)
    with work.writing(Viewer(fen.id)) as unit:
        answer_offer.decline(unit, offered.id, NOW)
    with pytest.raises(NotFound):
        accept(work, fen, offered.id)
    (line,) = listed(work, boss)
    assert (line.state, line.may_withdraw) == (DECLINED, False)
    with work.writing(boss.viewer) as unit, pytest.raises(InputProblem, match="ended already"):
        offer_membership.withdraw(unit, line.id, NOW)
    with pytest.raises(InputProblem, match="said no"):
        ask(work, boss, fen.email, at=NOW + LASTS - timedelta(seconds=1))
    ask(work, boss, fen.email, at=NOW + LASTS)
    assert len(mine(work, fen, NOW + LASTS)) == 1


def test_an_offer_ends_by_its_day_and_is_forgotten_later(work, boss, fen):
    token = ask(work, boss, fen.email)
    (offered,) = mine(work, fen)
    over = NOW + LASTS
    assert mine(work, fen, over) == ()
    with pytest.raises(NotFound):
        accept(work, fen, offered.id, over)
    with pytest.raises(InputProblem, match="too old"):
        join_by(work, token, over)
    assert [one.state for one in listed(work, boss, over)] == [RAN_OUT]
    later = over + offer_membership.KEPT + timedelta(days=1)
    assert listed(work, boss, later) == []
    ask(work, boss, NEW, at=later)
    with work.reading(boss.viewer) as unit:
        assert [one.email for one in offers.of_house(unit)] == [NEW]


def test_whoever_presses_twice_gets_the_link_that_works(work, boss, fen):
    first, second = ask(work, boss, NEW), ask(work, boss, NEW)
    with work.reading() as unit, pytest.raises(InputProblem):
        answer_offer.by_link(unit, first, NOW)
    join_by(work, second)
    mate = a_person(work, "administrator", organisation=boss.organisation)
    ask(work, boss, fen.email)
    with pytest.raises(InputProblem, match="asked already"):
        ask(work, mate, fen.email)


def test_a_no_is_forgotten_after_a_year(work, boss):
    token = ask(work, boss, NEW)
    with work.writing() as unit:
        answer_offer.decline_by_link(unit, token, NOW)
    year = NOW + offer_membership.NO_KEPT
    for at, there in ((year, True), (year + timedelta(days=1), False)):
        ask(work, boss, f"other.{there}@example.org".lower(), at=at)
        with work.reading(boss.viewer) as unit:
            assert (NEW in [one.email for one in offers.of_house(unit)]) == there


def test_an_offer_is_withdrawn_by_whoever_may_make_such(work, boss, fen):
    teacher = a_person(work, "instructor", organisation=boss.organisation)
    ask(work, teacher, fen.email)
    ask(work, boss, NEW, ("instructor",))
    with work.writing(teacher.viewer) as unit, pytest.raises(Forbidden):
        offer_membership.offer(unit, Wanted("N", "n@example.org", ["instructor"]), LASTS, NOW)
    high, low = listed(work, teacher)
    assert (high.email, high.may_withdraw, low.may_withdraw) == (NEW, False, True)
    with work.writing(teacher.viewer) as unit, pytest.raises(Forbidden):
        offer_membership.withdraw(unit, high.id, NOW)
    stranger = a_person(work, "administrator")
    with work.writing(stranger.viewer) as unit, pytest.raises(NotFound):
        offer_membership.withdraw(unit, low.id, NOW)
    with work.writing(teacher.viewer) as unit:
        offer_membership.withdraw(unit, low.id, NOW)
    assert mine(work, fen) == ()
    learner = a_person(work, organisation=boss.organisation)
    with work.reading(learner.viewer) as unit, pytest.raises(Forbidden):
        offer_membership.list_offers(unit, NOW)


def test_it_needs_its_person_and_the_log_names_no_address(work, bank, boss, fen):
    ask(work, boss, fen.email)
    with work.reading(boss.viewer) as unit:
        place = people.organisation(unit, boss.organisation).name
    with work.reading(fen.viewer) as unit:
        (need,) = see_needs.needs(unit, bank, 60, NOW)
    assert (need.kind, need.on) == ("offer", (NOW + LASTS).date())
    assert need.words.startswith(f"{place} asks you to join")
    accept(work, fen, mine(work, fen)[0].id)
    with work.reading() as unit:
        kinds = {row.number: row.kind for row in events.all_in_order(unit)}
        told = [(kinds[row.number], row.person_id, row.body) for row in events.bodies(unit)]
    about = [one for one in told if one[0].startswith("offer.")]
    assert [(kind, person_id) for kind, person_id, _ in about] == [
        ("offer.made", ""),
        ("offer.accepted", fen.id),
    ]
    assert fen.email not in str(told)


def tell(work, boss, url, tokens):
    letters = Letters(url, "no-reply@example.org", "https://x.example")
    send_offers(work, boss.viewer, letters, tokens, NOW + LASTS, NOW).join()


def test_the_letter_is_the_same_for_everybody_and_a_bad_address_holds_up_nobody(
    work, boss, fen, letterbox
):
    letterbox.refused.add("bad@example.org")
    emails = ["bad@example.org", fen.email, NEW]
    tokens = {one: ask(work, boss, one) for one in emails}
    tell(work, boss, letterbox.url, tokens)
    assert [letter["To"] for letter in letterbox.letters] == emails[1:]
    assert [one.email for one in listed(work, boss) if one.unsent] == emails[:1]
    texts = [
        letter.get_content().replace(tokens[letter["To"]], "TOKEN") for letter in letterbox.letters
    ]
    assert texts[0] == texts[1] and "https://x.example/join/TOKEN" in texts[0].split()
    assert "Say yes or no by Tuesday 17 March" in texts[0]
    assert all(fen.email not in text and "Fen" not in text for text in texts)


def test_what_did_not_go_is_sent_once_more_by_whoever_may_ask(work, boss, fen, letterbox):
    """A server that is not there takes none; what was replaced meanwhile is not marked."""
    old = {NEW: ask(work, boss, NEW)}
    tokens = {one: ask(work, boss, one, ["instructor"]) for one in (NEW, fen.email)}
    with closed_port() as nobody_there:
        tell(work, boss, nobody_there, old)
        assert not any(one.unsent for one in listed(work, boss))
        tell(work, boss, nobody_there, tokens)
    assert all(one.unsent for one in listed(work, boss))
    teacher = a_person(work, "instructor", organisation=boss.organisation)
    day = timedelta(days=1)
    with work.writing(teacher.viewer) as unit:
        assert offer_membership.ask_again(unit, LASTS, NOW + day) == []
    with work.writing(boss.viewer) as unit:
        again = offer_membership.ask_again(unit, LASTS, NOW + day)
    tell(work, boss, letterbox.url, {one.email: one.token for one in again})
    assert sorted(letter["To"] for letter in letterbox.letters) == sorted(tokens)
    found = [(one.unsent, one.until) for one in listed(work, boss)]
    assert found == [(False, NOW + day + LASTS)] * 2
    with pytest.raises(InputProblem, match="was used"):
        join_by(work, tokens[NEW])
    join_by(work, {one.email: one.token for one in again}[NEW])
    with work.writing(boss.viewer) as unit:
        assert offer_membership.ask_again(unit, LASTS, NOW + day) == []


@contextmanager
def closed_port():
    """A place where no mail server answers."""
    with socket.socket() as taken:  # bound, so that nobody else opens it; it does not listen
        taken.bind(("127.0.0.1", 0))
        yield f"smtp://127.0.0.1:{taken.getsockname()[1]}"


@pytest.mark.parametrize(
    ("wanted", "where"),
    [
        (Wanted("Nell", "no address", ["apprentice"]), "email"),
        (Wanted("Nell", "nell@example.org\nBcc: all@example.org", ["apprentice"]), "email"),
        (Wanted("  ", NEW, ["apprentice"]), "name"),
        (Wanted("Nell", NEW, []), "roles"),
        (Wanted("Nell", NEW, ["king"]), "roles"),
    ],
)
def test_what_cannot_be_asked_is_named(sqlite_work, wanted, where):
    boss = a_person(sqlite_work, "administrator")
    with sqlite_work.writing(boss.viewer) as unit, pytest.raises(InputProblem) as told:
        offer_membership.offer(unit, wanted, LASTS, NOW)
    assert told.value.where == where
