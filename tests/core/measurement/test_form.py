"""What a form must contain, and that a drawn one contains it."""

import tomllib
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.draw import Draw
from trainer.core.measurement.assembly import Candidate, assemble
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
        ({"shares": {}}, "shares"),
        ({"shares": {"north": "half"}}, "shares"),
    ],
)
def test_a_bad_blueprint_names_its_field(change, where):
    with pytest.raises(InputProblem) as caught:
        read_blueprint("x", TABLE | change)
    assert caught.value.where == f"blueprints/x.toml, {where}"


def candidate(number, topic, critical, enemies=()):
    return Candidate(f"{topic}{number}", topic, critical, enemies)


pools = st.lists(
    st.builds(
        candidate,
        st.integers(0, 9),
        st.sampled_from(MAIN),
        st.booleans(),
        st.lists(
            st.builds("{}{}".format, st.sampled_from(MAIN), st.integers(0, 9)), max_size=1
        ).map(tuple),
    ),
    unique_by=lambda one: one.id,
    min_size=4,
    max_size=30,
)


@given(pools, st.integers())
def test_a_form_meets_its_counts_or_says_what_it_cannot(pool, seed):
    wanted = {"north": 12, "east": 10, "south": 10, "west": 4}
    form = assemble(pool, wanted, 12, Draw(seed))
    by_id = {one.id: one for one in pool}
    got = Counter(by_id[family].topic for family in form.families)
    short = [topic for topic, count in wanted.items() if got[topic] != count]
    assert [line.split(":")[0] for line in form.unmet if "critical" not in line] == short
    critical = sum(by_id[family].critical for family in form.families)
    assert (critical < 12) is any(line.startswith("critical") for line in form.unmet)
    present = set(form.families)
    assert not any(present & set(by_id[family].enemies) - {family} for family in present)


def test_the_same_draw_gives_the_same_form_and_another_another():
    pool = [candidate(n, topic, n < 2) for topic in MAIN for n in range(6)]
    wanted = dict.fromkeys(MAIN, 4)
    forms = [assemble(pool, wanted, 4, Draw(seed)) for seed in ("a", "a", "b")]
    assert forms[0] == forms[1] != forms[2]
    assert max(Counter(forms[0].families).values()) == 1


def test_critical_items_are_swapped_in():
    pool = [candidate(n, "north", n == 0) for n in range(8)]
    form = assemble(pool, {"north": 8}, 3, Draw(1))
    assert Counter(form.families)["north0"] == 3
    assert form.unmet == ()


@pytest.mark.parametrize(("name", "items"), [("bonded", 40), ("loose", 24)])
def test_the_shipped_blueprints_read(name, items):
    text = (Path(__file__).parents[3] / "question_bank" / "blueprints" / f"{name}.toml").read_text()
    blueprint = read_blueprint(name, tomllib.loads(text))
    assert blueprint.items == items
    everywhere = dict.fromkeys((*blueprint.shares, *blueprint.rest_topics), 1)
    assert sum(counts(blueprint, everywhere).by_topic.values()) == items
