"""What has changed between two sets of facts, and what of it is asked anew."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from trainer.core.knowledge.change import Taught, compare

WEAR = Taught(
    "tape_in.wear",
    "tape_in",
    "maintain",
    "timings",
    "Tape-ins are moved up 4 to 8 weeks after fitting.",
    critical=True,
    low=4,
    high=8,
    unit="week",
    rests_on="usual salon practice",
)
FACTS = st.builds(
    Taught,
    st.sampled_from(["a", "b", "c", "d"]),
    st.sampled_from(["tape_in", "bonded", "all"]),
    st.sampled_from(["fit", "remove"]),
    st.sampled_from(["timings", "tension_risk"]),
    st.sampled_from(["Wait 2 days.", "wait 2 days", "Wait 3 days.", "Never wait."]),
    st.booleans(),
    st.none() | st.integers(0, 3),
    st.none() | st.integers(3, 5),
    st.sampled_from(["", "day"]),
    st.sampled_from(["published", "weak source"]),
)
SETS = st.lists(FACTS, unique_by=lambda one: one.id).map(lambda all_: {f.id: f for f in all_})


def only(before, after):
    (found,) = compare({before.id: before}, {after.id: after})
    return found


@given(SETS)
def test_nothing_has_changed_against_itself(facts):
    assert compare(facts, dict(facts)) == ()


@given(SETS, SETS)
def test_every_fact_that_differs_is_told_once_and_no_other(before, after):
    found = compare(before, after)
    told = [one.fact.id for one in found]
    assert told == sorted(set(told))
    assert set(told) == {name for name in {*before, *after} if before.get(name) != after.get(name)}
    for one in found:
        assert (one.kind == "added") is (one.before is None)
        assert (one.kind == "retired") is (one.after is None)


@given(SETS, SETS)
def test_the_way_back_is_its_mirror(before, after):
    mirror = {"added": "retired", "retired": "added", "changed": "changed"}
    there, back = compare(before, after), compare(after, before)
    assert [(mirror[one.kind], one.after, one.before) for one in there] == [
        (one.kind, one.before, one.after) for one in back
    ]


@given(SETS, SETS)
def test_only_what_is_critical_now_and_means_something_else_is_asked_anew(before, after):
    for one in compare(before, after):
        both = one.before is not None and one.after is not None
        if one.asks_again:
            assert both and one.after.critical and one.critical
            assert one.before.meaning != one.after.meaning
        elif both and one.after.critical:
            assert one.before.meaning == one.after.meaning


def test_another_figure_is_asked_anew():
    assert only(WEAR, replace(WEAR, said=WEAR.said.replace("8", "6"), high=6)).asks_again


def test_a_figure_with_a_point_is_another_figure():
    one = replace(WEAR, said="At most 0.5 g.", low=None, high=None, unit="")
    assert only(one, replace(one, said="At most 5 g.")).asks_again
    assert only(one, replace(one, said="At most 05 g.")).asks_again


def test_what_becomes_critical_is_asked_anew_and_what_ends_to_be_is_not():
    was = replace(WEAR, critical=False)
    assert only(was, WEAR).asks_again
    ended = only(WEAR, was)
    assert ended.critical and not ended.asks_again


def test_another_source_topic_case_or_full_stop_is_a_change_that_asks_nothing():
    for other in (
        replace(WEAR, rests_on="published: a paper"),
        replace(WEAR, topic="tension_risk"),
        replace(WEAR, said=WEAR.said.removesuffix(".")),
        replace(WEAR, said=WEAR.said.replace("Tape-ins", "tape-ins  ")),
    ):
        found = only(WEAR, other)
        assert found.kind == "changed" and not found.asks_again


def test_a_fact_that_holds_for_more_methods_is_asked_anew():
    assert only(WEAR, replace(WEAR, method="bonded")).asks_again


def test_what_is_new_or_gone_asks_nothing():
    (added,), (gone,) = compare({}, {"w": WEAR}), compare({"w": WEAR}, {})
    assert (added.kind, added.asks_again, added.critical) == ("added", False, True)
    assert (gone.kind, gone.asks_again, gone.fact) == ("retired", False, WEAR)
