"""Forms of one blueprint: alike in information, unlike in families, short banks repeated evenly."""

from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.draw import Draw
from trainer.core.measurement.requirement import Candidate, Demands
from trainer.core.measurement.sitting_form import (
    NEAR,
    UNUSED,
    Used,
    aim_of,
    draw_form,
    room_for,
)

WANTED = Demands({"north": 6, "south": 4}, critical_least=3)


def pool_of(north, south, critical=2):
    return [
        Candidate(f"{topic}{n}", topic, n < critical)
        for topic, size in (("north", north), ("south", south))
        for n in range(size)
    ]


def informed(pool, seed="worth"):
    draw = Draw(seed)
    return np.array([0.1 + 0.4 * draw.fraction() for _ in pool])


POOL = pool_of(40, 30, critical=10)
AIM = aim_of(room_for(POOL, WANTED), informed(POOL))


def test_two_forms_differ_and_their_information_is_within_five_percent():
    made = [draw_form(AIM, [UNUSED] * 70, None, Draw(seed)) for seed in range(12)]
    information = [form.information for form in made]
    assert max(information) <= 1.05 * min(information)
    assert all(abs(one / AIM.target - 1) <= NEAR + 1e-6 for one in information)
    for one, other in pairwise(made):
        assert len(set(one.families) & set(other.families)) < 5
    for form in made:
        assert Counter(name.rstrip("0123456789") for name in form.families) == WANTED.topics
        assert sum(int(name[5:]) < 10 for name in form.families) >= 3


def test_the_same_draw_gives_the_same_form():
    one, other = (draw_form(AIM, [UNUSED] * 70, None, Draw("x")) for _ in range(2))
    assert one == other


def test_use_is_spread_over_the_sittings():
    forms, sittings = [], 30
    for seed in range(sittings):
        last = forms[-20:]
        uses = Counter(name for form in last for name in form.families)
        used = [Used(uses[one.id] / max(len(last), 1)) for one in POOL]
        forms.append(draw_form(AIM, used, 0.4, Draw("spread", seed)))
    uses = Counter(name for form in forms for name in form.families)
    assert max(uses.values()) / sittings <= 0.4
    assert len(uses) >= 0.8 * len(POOL)


def test_what_this_person_had_comes_last():
    first = draw_form(AIM, [UNUSED] * 70, None, Draw("first"))
    used = [Used(own=one.id in first.families) for one in POOL]
    again = draw_form(AIM, used, None, Draw("again"))
    assert not set(first.families) & set(again.families)


@given(st.integers(1, 8), st.integers(1, 6), st.integers(1, 3))
def test_a_short_pool_repeats_as_little_and_as_evenly_as_it_can(north, south, critical):
    pool = pool_of(north, south, critical)
    room = room_for(pool, WANTED)
    assert room.unmet == ()
    form = draw_form(aim_of(room, informed(pool)), [UNUSED] * len(pool), None, Draw("x"))
    uses = Counter(form.families)
    assert sum(uses.values()) == 10
    for topic, size in (("north", north), ("south", south)):
        held = [uses[f"{topic}{n}"] for n in range(size)]
        assert sum(held) == WANTED.topics[topic]
    if min(critical, north) + min(critical, south) >= 3:
        fewest = sum(
            count // size * (count % size) + size * (count // size) * (count // size - 1) // 2
            for count, size in ((6, north), (4, south))
        )
        assert room.repeats == fewest


def test_enemies_never_meet_even_when_repeated():
    pool = [
        Candidate("a", "north", True, ("b",)),
        Candidate("b", "north", True),
        Candidate("c", "north", False),
    ]
    aim = aim_of(room_for(pool, Demands({"north": 6})), np.array([0.3, 0.3, 0.3]))
    for seed in range(6):
        held = set(draw_form(aim, [UNUSED] * 3, None, Draw(seed)).families)
        assert held in ({"a", "c"}, {"b", "c"})


def test_what_is_not_there_is_named():
    room = room_for(pool_of(0, 9), WANTED)
    assert room.unmet == ("north: 6 wanted, 0 there",)
    with pytest.raises(ValueError, match="unmet"):
        aim_of(room, np.ones(9))
    assert room_for(pool_of(9, 9, critical=0), WANTED).unmet == ("critical: 3 wanted, 0 there",)
    assert "south: 4 wanted, 0 there" in room_for((), WANTED).unmet
    with pytest.raises(ValueError, match="min"):
        aim_of(room_for(pool_of(9, 9), WANTED), np.zeros(18))
