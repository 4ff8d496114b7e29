"""Rosters taken in: looked at first, all or nothing, the same twice changes nothing."""

from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.conftest import prepared
from tests.support.people import NOW, a_person, join_by
from tests.support.rosters import ORG, a_set, an_academy, enrolment, group, role, user
from trainer.store import events, people, rosters
from trainer.use_cases import answer_offer, give_roster, keep_people, take_roster
from trainer.use_cases.plan_roster import CHANGED, ENDED, NEW, SAME
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.work import Viewer

LASTS = timedelta(days=7)
STAMP = {"status": "active", "dateLastModified": "2026-03-01T00:00:00Z"}
GONE = {**STAMP, "status": "tobedeleted"}


@pytest.fixture
def boss(sqlite_work):
    return a_person(sqlite_work, "administrator", name="Odile Farr")


def looked(work, boss, content):
    with work.reading(boss.viewer) as unit:
        return take_roster.look(unit, content, NOW)


def asked(work, boss, content):
    with work.writing(boss.viewer) as unit:
        return take_roster.take(unit, content, LASTS, NOW)


def taken(work, boss, content):
    """Taken, and everybody who is asked says yes at once."""
    found = asked(work, boss, content)
    for one in found:
        with work.reading() as unit:
            known = people.by_email(unit, one.email)
        if known is None:
            join_by(work, one.token)
            continue
        with work.writing(Viewer(known.id)) as unit:
            (offer,) = answer_offer.mine(unit, NOW)
            answer_offer.accept(unit, offer.id, NOW)
    return found


def kinds(work, boss, content):
    found = looked(work, boss, content)
    assert list(found.faults) == []
    return {kind: [s.name for s in found.plan.of(kind)] for kind in (NEW, CHANGED, ENDED, SAME)}


def standing(work, boss):
    with work.reading(boss.viewer) as unit:
        return {row.email: set(m.roles) for row, m in people.members(unit)} | {
            f"group {name}": {p.email for p in people.group_members(unit, group_id)}
            for group_id, name in keep_people.list_groups(unit)
        }


def two(**more):
    return an_academy(
        [user(1, "Ada Quill"), user(2, "Bo Ash")], [role(1), role(2, "teacher")], **more
    )


def classes(*names, places=()):
    sessions = {"sourcedId": "t1", "title": "2026", "type": "schoolYear", "schoolYear": "2026"}
    return {
        "courses": [{"sourcedId": "k1", "title": "Hair", "orgSourcedId": "o1"}],
        "academicSessions": [sessions | {"startDate": "2026-01-01", "endDate": "2026-12-31"}],
        "classes": [group(name, number) for number, name in enumerate(names, 1)],
        "enrollments": list(places),
    }


def test_a_look_changes_nothing_and_names_everybody(sqlite_work, boss):
    before = standing(sqlite_work, boss)
    assert kinds(sqlite_work, boss, two()) == {
        NEW: ["Ada Quill", "Bo Ash"],
        CHANGED: [],
        ENDED: [],
        SAME: [],
    }
    assert standing(sqlite_work, boss) == before


def test_new_people_belong_in_their_role_and_group_once_they_have_said_yes(work):
    boss = a_person(work, "administrator")
    invited = taken(work, boss, two(**classes("Friday", places=[enrolment(1)])))
    assert [(one.name, bool(one.token)) for one in invited] == [
        ("Ada Quill", True),
        ("Bo Ash", True),
    ]
    assert standing(work, boss) == {
        boss.email: {"administrator"},
        "u1@roster.example": {"apprentice"},
        "u2@roster.example": {"instructor"},
        "group Friday": {"u1@roster.example"},
    }
    with work.reading(boss.viewer) as unit:
        assert "roster.taken" in [row.kind for row in events.all_in_order(unit)]


def test_the_same_file_twice_changes_nothing(sqlite_work, boss):
    content = two(**classes("Friday", places=[enrolment(1)]))
    taken(sqlite_work, boss, content)
    before = standing(sqlite_work, boss)
    found = looked(sqlite_work, boss, content)
    assert (found.plan.changes, list(found.plan.new_groups)) == (0, [])
    assert taken(sqlite_work, boss, content) == []
    assert standing(sqlite_work, boss) == before


def test_to_be_deleted_ends_access_and_deletes_nothing(sqlite_work, boss):
    taken(sqlite_work, boss, two())
    delta = a_set({"users.csv": "delta"}, users=[user(1, "Ada Quill", **GONE)])
    assert kinds(sqlite_work, boss, delta)[ENDED] == ["Ada Quill"]
    taken(sqlite_work, boss, delta)
    assert "u1@roster.example" not in standing(sqlite_work, boss)
    with sqlite_work.reading(boss.viewer) as unit:
        assert people.by_email(unit, "u1@roster.example").name == "Ada Quill"
    back = a_set({"users.csv": "delta"}, users=[user(1, "Ada Quill", **STAMP)])
    assert kinds(sqlite_work, boss, back)[NEW] == ["Ada Quill"]
    taken(sqlite_work, boss, back)
    assert standing(sqlite_work, boss)["u1@roster.example"] == {"apprentice"}


def test_a_bulk_file_is_the_whole_of_what_rosters_say_and_leaves_the_rest_alone(sqlite_work, boss):
    by_hand = a_person(sqlite_work, organisation=boss.organisation, name="Cy Hand")
    taken(sqlite_work, boss, two())
    fewer = an_academy([user(2, "Bo Ash")], [role(2, "teacher")])
    assert kinds(sqlite_work, boss, fewer)[ENDED] == ["Ada Quill"]
    taken(sqlite_work, boss, fewer)
    assert set(standing(sqlite_work, boss)) == {boss.email, by_hand.email, "u2@roster.example"}


def test_a_delta_changes_a_role_and_a_role_given_by_hand_stays(sqlite_work, boss):
    taken(sqlite_work, boss, two())
    with sqlite_work.writing(boss.viewer) as unit:
        ada = people.by_email(unit, "u1@roster.example")
        keep_people.join(unit, ada.id, boss.organisation, ["apprentice", "salon_manager"], NOW)
    delta = a_set({"roles.csv": "delta"}, roles=[role(1, **GONE), role(1, "teacher", **STAMP)])
    found = looked(sqlite_work, boss, delta)
    (step,) = found.plan.of(CHANGED)
    assert (step.before, step.roles) == (
        {"apprentice", "salon_manager"},
        {"instructor", "salon_manager"},
    )
    taken(sqlite_work, boss, delta)
    assert standing(sqlite_work, boss)["u1@roster.example"] == {"instructor", "salon_manager"}


def test_a_name_changed_outside_changes_here_one_changed_here_stays(sqlite_work, boss):
    taken(sqlite_work, boss, two())
    with sqlite_work.writing(boss.viewer) as unit:
        people.by_email(unit, "u2@roster.example").name = "Beau Ash"
    assert kinds(sqlite_work, boss, two())[CHANGED] == []
    other = an_academy([user(1, "Ada Reed"), user(2, "Bo Ash")], [role(1), role(2, "teacher")])
    taken(sqlite_work, boss, other)
    with sqlite_work.reading(boss.viewer) as unit:
        names = {people.by_email(unit, f"u{n}@roster.example").name for n in (1, 2)}
    assert names == {"Ada Reed", "Beau Ash"}


def test_somebody_known_elsewhere_joins_and_keeps_password_and_name(sqlite_work, boss):
    other = a_person(sqlite_work, "instructor", name="Fen Marsh")
    content = an_academy([user(1, "F. Marsh", email=other.email)], [role(1, "teacher")])
    taken(sqlite_work, boss, content)
    with sqlite_work.reading(boss.viewer) as unit:
        row, belongs = people.member(unit, other.id)
        assert (row.name, belongs.roles) == ("Fen Marsh", ["instructor"])


def test_closed_from_the_start_is_not_let_in(sqlite_work, boss):
    content = an_academy([user(1, enabledUser="false")], [role(1)])
    assert taken(sqlite_work, boss, content) == []
    assert standing(sqlite_work, boss) == {boss.email: {"administrator"}}


def test_groups_are_joined_and_left_and_places_given_by_hand_stay(sqlite_work, boss):
    places = [enrolment(1), enrolment(2)]
    taken(sqlite_work, boss, two(**classes("Friday", places=places)))
    with sqlite_work.writing(boss.viewer) as unit:
        by_hand = keep_people.make_group(unit, "By hand")
        rosters.add_place(unit, by_hand, people.by_email(unit, "u1@roster.example").id)
    content = two(**classes("Friday", places=places[1:]))
    (step,) = looked(sqlite_work, boss, content).plan.of(CHANGED)
    assert (step.name, step.joins, step.leaves) == ("Ada Quill", (), ("Friday",))
    taken(sqlite_work, boss, content)
    found = standing(sqlite_work, boss)
    assert found["group Friday"] == {"u2@roster.example"}
    assert found["group By hand"] == {"u1@roster.example"}


def test_nobody_shuts_themselves_out(sqlite_work, boss):
    me = user(1, "Odile Farr", email=boss.email)
    taken(sqlite_work, boss, an_academy([me], [role(1, "administrator")]))
    delta = a_set({"users.csv": "delta"}, users=[me | GONE])
    found = looked(sqlite_work, boss, delta)
    assert str(found.faults[0]).startswith("users.csv, line 2: would take your own right")
    with pytest.raises(InputProblem, match="your own right"):
        taken(sqlite_work, boss, delta)


def test_a_broken_file_does_nothing_and_says_where(sqlite_work, boss):
    before = standing(sqlite_work, boss)
    content = an_academy([user(1), user(2, username="")], [role(1)])
    with pytest.raises(InputProblem, match=r"users\.csv, line 3: is empty"):
        taken(sqlite_work, boss, content)
    assert standing(sqlite_work, boss) == before


def test_what_was_seen_is_what_is_done(sqlite_work, boss):
    seen = looked(sqlite_work, boss, two()).plan.fingerprint
    a_person(sqlite_work, organisation=boss.organisation)
    with sqlite_work.writing(boss.viewer) as unit:
        ada = keep_people.add_person(unit, "Ada Quill", "u1@roster.example", NOW)
        keep_people.join(unit, ada, boss.organisation, ["apprentice"], NOW)
    with sqlite_work.writing(boss.viewer) as unit, pytest.raises(InputProblem, match="changed"):
        take_roster.take(unit, two(), LASTS, NOW, seen)


def test_only_administrators_and_only_their_own_place(sqlite_work, boss):
    teacher = a_person(sqlite_work, "instructor", organisation=boss.organisation)
    with sqlite_work.writing(teacher.viewer) as unit:
        for use in (take_roster.look, take_roster.keep):
            with pytest.raises(Forbidden):
                use(unit, two(), NOW)
        with pytest.raises(Forbidden):
            give_roster.give(unit, NOW)
    with sqlite_work.writing(boss.viewer) as unit:
        kept = take_roster.keep(unit, two(), NOW)
    other = a_person(sqlite_work, "administrator")
    with sqlite_work.reading(other.viewer) as unit, pytest.raises(NotFound):
        take_roster.kept(unit, kept)
    taken(sqlite_work, boss, two())
    assert kinds(sqlite_work, other, two())[NEW] == ["Ada Quill", "Bo Ash"]


def test_what_is_given_out_changes_nothing_when_taken_back(sqlite_work, boss):
    a_person(sqlite_work, "instructor", "salon_manager", organisation=boss.organisation)
    taken(sqlite_work, boss, two(**classes("Friday", places=[enrolment(1)])))
    with sqlite_work.writing(boss.viewer) as unit:
        content = give_roster.give(unit, NOW)
    before = standing(sqlite_work, boss)
    assert looked(sqlite_work, boss, content).plan.changes == 0
    taken(sqlite_work, boss, content)
    assert standing(sqlite_work, boss) == before
    with sqlite_work.writing(boss.viewer) as unit:
        assert give_roster.give(unit, NOW) == content


@pytest.fixture(scope="module")
def one_work(tmp_path_factory):
    """One database for every example: each has a place of its own."""
    with prepared(f"sqlite:///{tmp_path_factory.mktemp('roster') / 'trainer.db'}") as opened:
        yield opened


PEOPLE = st.lists(
    st.tuples(
        st.sampled_from("123"),
        st.sampled_from(["student", "teacher", "administrator", "parent"]),
        st.sampled_from(["active", "tobedeleted", "closed"]),
    ),
    min_size=1,
    max_size=3,
    unique_by=lambda one: one[0],
)


@settings(max_examples=15)
@given(sets=st.lists(st.tuples(PEOPLE, st.booleans()), min_size=1, max_size=4))
def test_after_a_set_access_is_what_rosters_say_last(one_work, sets):
    """A second reckoning in a few lines: bulk forgets, delta adds, deleted or closed has none."""
    words = {"student": "apprentice", "teacher": "instructor", "administrator": "administrator"}
    boss = a_person(one_work, "administrator")
    let_in, roles = {}, {}
    for rows, bulk in sets:
        way = {} if bulk else {"users.csv": "delta", "roles.csv": "delta"}
        if bulk:
            let_in, roles = {}, {}
        users, given_roles = [], []
        for number, word, state in rows:
            stamp = {**STAMP, "status": "tobedeleted" if state == "tobedeleted" else "active"}
            closed = {"enabledUser": "false"} if state == "closed" else {}
            users.append(user(number, **stamp, **closed))
            given_roles.append(role(number, word, **STAMP))
            let_in[number] = state == "active"
            if word in words:
                roles.setdefault(number, set()).add(words[word])
        taken(one_work, boss, a_set(way, orgs=[ORG], users=users, roles=given_roles))
        expected = {f"u{n}@roster.example": r for n, r in roles.items() if let_in.get(n)}
        assert standing(one_work, boss) == {boss.email: {"administrator"}, **expected}


def test_a_name_kept_elsewhere_is_not_changed_by_a_file(sqlite_work, boss):
    email = user(1, "Ada Quill")["email"]
    other = a_person(sqlite_work, "administrator")
    with sqlite_work.writing() as unit:
        before = NOW - timedelta(days=1)
        ada = keep_people.add_person(unit, "Ada Ferris", email, before)
        keep_people.join(unit, ada, other.organisation, ["apprentice"], before)
    taken(sqlite_work, boss, two())
    taken(sqlite_work, boss, an_academy([user(1, "Ada Changed")], [role(1)]))
    with sqlite_work.reading(boss.viewer) as unit:
        assert people.member(unit, ada)[0].name == "Ada Ferris"


def test_a_name_that_a_file_changes_is_kept_as_one_that_is_typed(sqlite_work, boss):
    """In one line, without signs that turn its letters round."""
    taken(sqlite_work, boss, two())
    taken(sqlite_work, boss, an_academy([user(1, "Ada \u202e Later")], [role(1)]))
    with sqlite_work.reading(boss.viewer) as unit:
        assert people.by_email(unit, user(1)["email"]).name == "Ada Later"
