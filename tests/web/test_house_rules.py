"""House rules on screen: set by the manager, read by those who ask, never looser."""

import pytest

from tests.support.people import a_person

SENT = {"method": "fusion_bond", "refresh_months": 6, "supervised_clients": 3, "grace_days": 7}
SENT |= {"status_days": 3}


def test_the_manager_sets_rules_and_history_stays(visit, desk):
    page = visit(desk)
    assert "None of your own" in page.get("/house-rules")
    html = page.post("/house-rules", SENT | {"second_observation": "y"})
    for said in (
        "are set",
        "not older than 6 months",
        "first 3 clients are",
        "for 7 days",
        "for 3 days after a look",
    ):
        assert said in html
    again = page.get("/house-rules?method=fusion_bond")
    assert 'name="supervised_clients" type="number" value="3"' in again.replace("'", '"') or (
        'value="3"' in again
    )
    html = page.post("/house-rules", SENT | {"supervised_clients": 0})
    assert "What held before" in html
    plain = {"method": "fusion_bond", "refresh_months": 0, "supervised_clients": 0}
    html = page.post("/house-rules", plain | {"grace_days": 30, "status_days": 14})
    assert "Nothing more than for all methods" in html.split("What held before")[0]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"grace_days": 31}, "only be stricter"),
        ({"grace_days": -1}, "0 or more"),
        ({"status_days": 15}, "only be stricter"),
        ({"status_days": -1}, "0 or more"),
        ({"refresh_months": 61}, "0 to 60"),
        ({"supervised_clients": "many"}, "valid integer"),
        ({"method": "glue_gun"}, "valid choice"),
    ],
)
def test_a_looser_or_senseless_rule_is_refused(visit, desk, change, said):
    html = visit(desk).post("/house-rules", SENT | change, 400)
    assert 'role="alert"' in html and said in html
    assert "None of your own" in visit(desk).get("/house-rules")


def test_an_instructor_reads_and_another_house_sees_nothing(visit, sqlite_work, desk, salon):
    visit(desk).post("/house-rules", SENT)
    instructor = visit(a_person(sqlite_work, "instructor", organisation=salon))
    assert "A salon manager sets them" in instructor.get("/house-rules")
    instructor.post("/house-rules", SENT, 403)
    other = visit(a_person(sqlite_work, "salon_manager"))
    assert "None of your own" in other.get("/house-rules")
