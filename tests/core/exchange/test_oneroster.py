"""OneRoster 1.2 sets: read by the binding's rules, refused with the place, written, read back."""

import io
from datetime import date
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import pytest

from tests.support.rosters import (
    a_set,
    an_academy,
    enrolment,
    group,
    manifest,
    packed,
    role,
    text,
    user,
)
from trainer.core.exchange import oneroster
from trainer.core.exchange.oneroster import (
    Group,
    Holding,
    Person,
    Roster,
    compose_set,
    read_roster,
)
from trainer.core.exchange.oneroster_tables import LARGEST, MOST_FILES, binding

CASES = Path(__file__).parent / "cases" / "oneroster"
TODAY = date(2026, 3, 3)


def case(name):
    return packed({one.name: one.read_bytes() for one in (CASES / name).iterdir()})


def faults(content, known=None):
    return [str(one) for one in read_roster(content, TODAY, known)[1]]


def roster(content):
    made, found = read_roster(content, TODAY)
    assert found == []
    return made


def test_the_sound_case_read_roster():
    made = roster(case("valid"))
    assert [one.name for one in made.people] == ["Ada Quill", "Børge Æsop", "Zoë O'Neil, Jr"]
    given = {one.person: one.of for one in made.roles}
    assert given == {"d-u1": "apprentice", "d-u2": "instructor", "d-u3": "administrator"}


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("invalid-dangling-role", "roles.csv, line 3, userSourcedId: d-u9 stands in no users.csv"),
        ("invalid-missing-username", "users.csv, line 2, username: is empty"),
    ],
)
def test_the_broken_cases_name_file_line_and_column(name, says):
    assert faults(case(name)) == [says]


def with_text(name, change):
    """The sound case with one file changed."""
    texts = {one.name: one.read_text() for one in (CASES / "valid").iterdir()}
    return packed(texts | {name: change(texts[name])})


def test_a_byte_order_mark_and_unknown_metadata_are_passed_over():
    mark = with_text("users.csv", lambda t: "\ufeff" + t)
    assert faults(mark) == []
    head, *rows = (CASES / "valid" / "users.csv").read_text().splitlines()
    more = "\n".join([f"{head},metadata.house.shoe", *(f"{row},38" for row in rows)])
    assert faults(with_text("users.csv", lambda _: more)) == []


@pytest.mark.parametrize(
    ("name", "change", "says"),
    [
        ("users.csv", lambda t: t.replace("enabledUser", "enableduser"), "line 1, enabledUser"),
        ("users.csv", lambda t: t.replace("pronouns", "pronouns,shoe", 1), "line 1, shoe"),
        ("users.csv", lambda t: t.replace("true", "maybe", 1), "line 2, enabledUser: is 'maybe'"),
        ("users.csv", lambda t: t.replace("d-u2", "d-u1", 1), "sourcedId: is that of line 2 again"),
        ("users.csv", lambda t: t + "d-u4,,\n", "line 5: 3 cells under 23 names"),
        ("users.csv", lambda t: t.replace("d2@", "d1@"), "line 3, email: is that of line 2"),
        ("users.csv", lambda t: t.replace("d1@roster.example", "nobody"), "line 2, email"),
        ("users.csv", lambda t: t + '"', "is no CSV"),
        ("roles.csv", lambda t: t.replace("student", "pupil"), "line 2, role: is 'pupil'"),
        ("roles.csv", lambda t: t.replace("student,,", "student,3 May,"), "line 2, beginDate"),
        ("orgs.csv", lambda t: t.replace("school,,", "school,,d-o9"), "line 2, parentSourcedId"),
        ("manifest.csv", lambda t: t.replace("1.2", "1.1"), "oneroster.version: is not 1.2"),
        ("manifest.csv", lambda t: t.replace("file.roles,bulk\n", ""), "does not name roles.csv"),
        ("manifest.csv", lambda t: t.replace("roles,bulk", "roles,absent"), "says absent, but"),
        ("manifest.csv", lambda t: t.replace("roles,bulk", "roles,some"), "known are bulk, delta"),
    ],
)
def test_what_the_binding_forbids_is_named_with_its_place(name, change, says):
    found = faults(with_text(name, change))
    assert any(name in one and says in one for one in found), found


def test_a_line_is_counted_in_the_file_though_cells_span_lines():
    rows = [user(1, familyName="On two\nlines"), user(2, username="")]
    assert faults(an_academy(rows, [])) == ["users.csv, line 4, username: is empty"]


def test_everything_that_is_wrong_is_told_at_once():
    rows = [user(1, username=""), user(2, username="d", email="d")]
    found = faults(an_academy(rows, [role(2), role(7, beginDate="soon")]))
    assert [one.split(": ")[0] for one in found] == [
        "roles.csv, line 3, userSourcedId",
        "roles.csv, line 3, beginDate",
        "users.csv, line 2, username",
        "users.csv, line 3, email",
    ]


def test_a_table_that_is_none_is_told_once_and_not_for_each_row_that_leans_on_it():
    found = faults(with_text("users.csv", lambda t: t.replace("sourcedId", "id", 1)))
    assert found == ["users.csv, line 1, sourcedId: is not the header of users.csv"]


def test_a_delta_needs_status_and_date_and_may_lean_on_what_is_known():
    delta = a_set({"roles.csv": "delta"}, roles=[role(1)])
    assert [one.split(": ")[0] for one in faults(delta)] == [
        "roles.csv, line 2, status",
        "roles.csv, line 2, dateLastModified",
    ]
    stamped = {"status": "active", "dateLastModified": "2026-03-01T00:00:00Z"}
    delta = a_set({"roles.csv": "delta"}, roles=[role(1, **stamped)])
    known = {"users.csv": frozenset({"u1"}), "orgs.csv": frozenset({"o1"})}
    assert faults(delta, known) == []
    assert "u1 stands in no users.csv" in faults(delta, {**known, "users.csv": frozenset()})[0]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"PK no zip",
        packed({"folder/users.csv": ""}),
        packed({f"t{n}.csv": "" for n in range(MOST_FILES + 1)}),
        packed({"manifest.csv": b"\xff\xfe"}),
        packed({"manifest.csv": "0" * 1_000_000}),
    ],
    ids=["empty", "no zip", "folder", "many files", "not UTF-8", "bomb"],
)
def test_what_is_no_set_is_refused(content):
    (one, *_) = faults(content)
    assert "zip" in one or "manifest.csv" in one or "the file" in one


def test_a_zip_that_unpacks_to_too_much_is_not_unpacked():
    """What a zip says of its sizes is held against what comes out by the zip library itself."""
    whole = io.BytesIO()
    with ZipFile(whole, "w", ZIP_DEFLATED) as archive:
        archive.writestr("manifest.csv", b"\0" * (LARGEST + 1))
    assert "unpacks to more than" in faults(whole.getvalue())[0]


def test_a_set_with_any_byte_changed_is_told_in_words():
    """Down to the packed bytes themselves, whose reader fails in ways of its own."""
    content = an_academy([user(n) for n in range(1, 9)], [role(n) for n in range(1, 9)])
    told = 0
    for at in range(0, len(content), 7):
        broken = content[:at] + bytes([content[at] ^ 0x10]) + content[at + 1 :]
        told += faults(broken) != []
    assert told > len(content) // 7 / 2


def test_roles_outside_their_dates_and_rows_to_be_deleted_do_not_hold():
    roles = [
        role(1, beginDate="2026-03-04"),
        role(2, endDate="2026-03-02"),
        role(3, beginDate="2026-03-03", endDate="2026-03-03"),
        role(4, status="tobedeleted"),
    ]
    made = roster(an_academy([user(n) for n in range(1, 5)], roles))
    assert [one.on for one in made.roles] == [False, False, True, False]


def test_words_without_a_role_here_are_told():
    made = roster(an_academy([user(1)], [role(1, "parent")]))
    assert made.roles == [] and "'parent'" in made.notes[0]


def test_every_role_of_ours_has_a_word_that_comes_back():
    assert {oneroster.ROLES[word]: ours for ours, word in oneroster.GIVEN.items()} == {
        ours: ours for ours in oneroster.GIVEN
    }
    known = set(binding()["vocabulary"]["roles.role"])
    assert {word for word in oneroster.ROLES if not word.startswith("ext:")} <= known


def test_what_is_written_is_read_back_the_same():
    people = [
        Person("p1", "=Ada Quill", "ada@roster.example", True),
        Person("p2", "Bo", "bo@x.example", False),
    ]
    given = Roster(
        people,
        [Holding("a", "p1", "instructor", True), Holding("b", "p1", "salon_manager", True)],
        [Group("g1", "Friday, late")],
        [Holding("c", "p1", "g1", True)],
        ["o1"],
        frozenset(),
        (),
    )
    content = compose_set("Rowan Lane", given, TODAY)
    assert content == compose_set("Rowan Lane", given, TODAY)
    raw = ZipFile(io.BytesIO(content)).read("users.csv").decode()
    assert "'=Ada" in raw and raw.count("\r\n") == 3
    back = roster(content)
    assert [(p.id, p.name, p.email, p.open) for p in back.people] == [
        (p.id, p.name, p.email, p.open) for p in people
    ]
    assert (back.roles, back.groups, back.places) == (given.roles, given.groups, given.places)
    assert back.notes == []


def test_classes_bring_groups():
    sessions = [
        {
            "sourcedId": "t1",
            "title": "2026",
            "type": "schoolYear",
            "startDate": "2026-01-01",
            "endDate": "2026-12-31",
            "schoolYear": "2026",
        }
    ]
    more = {
        "courses": [{"sourcedId": "k1", "title": "Hair", "orgSourcedId": "o1"}],
        "academicSessions": sessions,
        "classes": [group("Friday group")],
        "enrollments": [enrolment(1)],
    }
    made = roster(an_academy([user(1)], [role(1)], **more))
    assert [one.name for one in made.groups] == ["Friday group"]
    assert [(one.person, one.of) for one in made.places] == [("u1", "c1")]
    more["academicSessions"] = []
    assert (
        "termSourcedIds: t1 stands in no academicSessions.csv"
        in faults(an_academy([user(1)], [role(1)], **more))[0]
    )


def test_files_that_nobody_reads_here_are_told():
    texts = {
        "manifest.csv": manifest({"users.csv": "bulk", "demographics.csv": "bulk"}),
        "users.csv": text("users.csv", []),
        "demographics.csv": "x",
    }
    assert roster(packed(texts)).notes == ["demographics.csv is not used here."]
