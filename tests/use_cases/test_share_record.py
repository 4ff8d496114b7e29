"""A holder's links: each shows what was chosen, and nothing once it is ended."""

import pytest

from tests.support.people import NOW, a_person
from tests.support.records import Earned, a_record
from trainer.use_cases import share_record
from trainer.use_cases.keep_log import exported
from trainer.use_cases.refusals import InputProblem, NotFound


@pytest.fixture
def holder(sqlite_work):
    return a_person(sqlite_work, name="Ines Dorval")


@pytest.fixture
def record_id(sqlite_work, bank, monkeypatch, issuing, holder):
    earned = Earned({})
    earned.put_in_place(monkeypatch)
    return a_record(sqlite_work, bank, earned, issuing, holder)


def make(work, holder, record_id, *shows, label=""):
    with work.writing(holder.viewer) as unit:
        return share_record.make_link(unit, record_id, label, shows, NOW)


def seen(work, bank, issuing, token):
    with work.reading() as unit:
        return share_record.shared(unit, bank, token, issuing, NOW)


HIDDEN = {"name": "Ines Dorval", "score": "35 of 40", "observers": "Petra Lindqvist"}


@pytest.mark.parametrize("shows", [(), ("name",), ("score",), ("observers", "name"), tuple(HIDDEN)])
def test_a_link_shows_what_was_chosen_and_nothing_else(
    sqlite_work, bank, issuing, holder, record_id, shows
):
    view = seen(sqlite_work, bank, issuing, make(sqlite_work, holder, record_id, *shows))
    shown = view.shown
    told = str((shown.holder, shown.told, shown.evidence))
    for part, words in HIDDEN.items():
        assert (words in told) is (part in shows)
    assert ("Probability that the decision is right" in told) is ("score" in shows)
    assert view.whole is (len(shows) == len(HIDDEN))
    assert shown.verification.valid
    assert len(shown.evidence) == 3


def test_several_links_live_side_by_side_and_end_alone(
    sqlite_work, bank, issuing, holder, record_id
):
    one = make(sqlite_work, holder, record_id, "name", label="Salon by the park")
    other = make(sqlite_work, holder, record_id, "score")
    assert one != other
    with sqlite_work.reading(holder.viewer) as unit:
        listed = share_record.links(unit, record_id)
    assert {link.label for link in listed} == {"Salon by the park", ""}
    ended = next(link.id for link in listed if link.token == one)
    for _ in range(2):
        with sqlite_work.writing(holder.viewer) as unit:
            share_record.end_link(unit, record_id, ended, NOW)
    with pytest.raises(NotFound):
        seen(sqlite_work, bank, issuing, one)
    assert seen(sqlite_work, bank, issuing, other).shows == {"score"}
    with sqlite_work.reading() as unit:
        kinds = [row["kind"] for row in exported(unit)]
        assert one not in str(list(exported(unit)))
    assert (kinds.count("record.link_made"), kinds.count("record.link_ended")) == (2, 1)


def test_only_the_holder_makes_sees_and_ends_links(sqlite_work, holder, record_id):
    make(sqlite_work, holder, record_id, "name")
    boss = a_person(sqlite_work, "administrator", organisation=holder.organisation)
    with sqlite_work.reading(holder.viewer) as unit:
        (link,) = share_record.links(unit, record_id)
    with sqlite_work.writing(boss.viewer) as unit:
        for act in (
            lambda: share_record.make_link(unit, record_id, "", ["name"], NOW),
            lambda: share_record.links(unit, record_id),
            lambda: share_record.end_link(unit, record_id, link.id, NOW),
        ):
            with pytest.raises(NotFound):
                act()


def test_what_is_no_choice_and_too_many_are_refused(sqlite_work, holder, record_id):
    with pytest.raises(InputProblem):
        make(sqlite_work, holder, record_id, "everything")
    for _ in range(share_record.MOST_LINKS):
        make(sqlite_work, holder, record_id, "name")
    with pytest.raises(InputProblem, match="open links"):
        make(sqlite_work, holder, record_id, "name")


def test_an_unknown_link_is_not_there(sqlite_work, bank, issuing):
    with pytest.raises(NotFound):
        seen(sqlite_work, bank, issuing, "nothing")
