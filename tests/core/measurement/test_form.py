"""What a form must contain, and how that is read."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.measurement.blueprint import counts, read_blueprint
from trainer.core.problems import InputProblem

TABLE = {
    "items": 40,
    "minutes": 60,
    "cut_share": 0.75,
    "critical_least": 12,
    "siblings": 3,
    "confirm_minutes": 2,
    "shares": {"north": 0.3, "east": 0.25, "south": 0.25, "west": 0.1},
    "rest_share": 0.1,
    "rest_topics": ["up", "down"],
    "required": ["north", "east", "south", "west"],
}
MAIN = ("north", "east", "south", "west")


def test_the_counts_are_the_shares():
    found = counts(read_blueprint("x", TABLE), dict.fromkeys((*MAIN, "up", "down"), 3))
    assert found.by_topic == {"north": 12, "east": 10, "south": 10, "west": 4, "up": 2, "down": 2}
    assert found.moved == ()


def test_a_rest_without_questions_moves_and_is_said():
    found = counts(read_blueprint("x", TABLE), dict.fromkeys(MAIN, 3))
    assert sum(found.by_topic.values()) == 40
    assert set(found.by_topic) == set(MAIN)
    assert found.by_topic["north"] > 12
    assert "up, down" in found.moved[0]


@given(st.dictionaries(st.sampled_from((*MAIN, "up", "down")), st.integers(0, 5)))
def test_the_counts_always_add_up(families):
    found = counts(read_blueprint("x", TABLE), families)
    assert sum(found.by_topic.values()) == 40
    assert set(MAIN) <= set(found.by_topic)


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"rest_share": 0.2}, "shares"),
        ({"items": "40"}, "items"),
        ({"cut_share": 1.5}, "cut_share"),
        ({"cut_share": None}, "cut_share"),
        ({"siblings": -1}, "siblings"),
        ({"siblings_right": 4}, "siblings_right"),
        ({"shares": {}}, "shares"),
        ({"shares": {"north": "half"}}, "shares"),
        ({"wrods_most": 900}, "wrods_most"),
        ({"words_most": -1}, "words_most"),
        ({"words_most": float("nan")}, "words_most"),
        ({"cut_ability": float("nan")}, "cut_ability"),
        ({"rest_share": float("nan")}, "rest_share"),
        ({"lately_most": 3.0}, "lately_most"),
        ({"critical_least": 41}, "critical_least"),
        ({"types": {"number": {"least": 3, "most": 2}}}, "types.number"),
        ({"services": {"fit": {"at_least": 3}}}, "services.fit"),
        ({"services": {"fit": {"most": "all"}}}, "services.fit, most"),
        ({"counts": {"north": 12}}, "counts"),
        ({"counts": {"north": 1.5}}, "counts"),
    ],
)
def test_a_bad_blueprint_names_its_field(change, where):
    with pytest.raises(InputProblem) as caught:
        read_blueprint("x", TABLE | change)
    assert caught.value.where == f"blueprints/x.toml, {where}"


def test_counts_may_stand_in_place_of_shares():
    table = {name: value for name, value in TABLE.items() if "rest" not in name}
    del table["shares"], table["required"]
    table["items"] = 20
    table["counts"] = {"north": 7, "east": 6, "south": 4, "west": 3}
    found = read_blueprint("x", table | {"types": {"number": {"most": 9}}})
    assert counts(found, {}).by_topic == table["counts"]
    assert found.types == {"number": (0.0, 9.0)}


@pytest.mark.parametrize(("name", "items"), [("bonded", 40), ("loose", 24)])
def test_the_shipped_blueprints_read(name, items):
    text = (Path(__file__).parents[3] / "question_bank" / "blueprints" / f"{name}.toml").read_text()
    blueprint = read_blueprint(name, tomllib.loads(text))
    assert blueprint.items == items
    everywhere = dict.fromkeys((*blueprint.shares, *blueprint.rest_topics), 1)
    assert sum(counts(blueprint, everywhere).by_topic.values()) == items
