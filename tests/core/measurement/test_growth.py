"""Growth in practice: intervals that hold what they promise, growth that is found again."""

from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.measurement.calibration.simulated import fractions, normals
from trainer.core.draw import Draw
from trainer.core.measurement.ability import Ability, after
from trainer.core.measurement.growth import (
    STILL,
    Growth,
    Practised,
    Rows,
    estimate_growth,
    followed,
    log_likelihood,
    rested,
    rows_of,
    taught,
)
from trainer.core.measurement.priors import Difficulty

TRUE = Growth(0.03, 0.08, 0.05)
LENGTH = 40
steps = st.builds(
    Practised,
    st.booleans(),
    st.builds(Difficulty, st.floats(0.5, 1.5), st.floats(-2, 2), st.just(0.0), st.floats(0, 0.3)),
    st.floats(0, 30),
)


@cache
def practised(people=1200, seed=4):
    """Rows of practice by people who move as TRUE says, and where they end."""
    draw, shape = Draw("practice", seed), (people, LENGTH)
    rows = Rows(
        np.zeros(shape, np.int8),
        np.exp(0.2 * normals(draw, *shape)),
        normals(draw, *shape),
        np.full(shape, 0.2),
        np.where(fractions(draw, *shape) < 0.2, 1 + np.floor(7 * fractions(draw, *shape)), 0.0),
    )
    theta = normals(draw, people)
    for place in range(LENGTH):
        theta = theta + normals(draw, people) * TRUE.sd_day * np.sqrt(rows.days[:, place])
        p = 0.2 + 0.8 / (1 + np.exp(-rows.a[:, place] * (theta - rows.b[:, place])))
        rows.marks[:, place] = fractions(draw, people) < p
        theta = theta + TRUE.gain + TRUE.sd * normals(draw, people)
    return rows, theta


def path(rows, person):
    columns = (rows.marks, rows.a, rows.b, rows.floor, rows.days)
    for right, a, b, floor, days in zip(*(part[person] for part in columns), strict=True):
        yield Practised(bool(right), Difficulty(a, b, 0.0, floor), days)


def test_rows_hold_what_was_practised_to_the_last_figure():
    rows = practised()[0]
    people = range(20)
    held = rows_of([list(path(rows, person)) for person in people])
    for name in ("marks", "a", "b", "floor", "days"):
        assert (getattr(held, name) == getattr(rows, name)[:20]).all(), name


def test_who_practised_less_is_padded_with_nothing():
    rows = practised()[0]
    whole, short = list(path(rows, 0)), list(path(rows, 1))[:3]
    apart = log_likelihood(rows_of([whole]), TRUE) + log_likelihood(rows_of([short]), TRUE)
    assert log_likelihood(rows_of([whole, short]), TRUE) == pytest.approx(apart)
    with pytest.raises(ValueError, match="nobody"):
        rows_of([])


def within(growth):
    rows, theta = practised()
    known = [followed(list(path(rows, person)), growth) for person in range(len(theta))]
    away = np.array([(one.mean - true) / one.sd for one, true in zip(known, theta, strict=True)])
    return float((np.abs(away) < 1.645).mean()), float(away.mean())


def test_ninety_per_cent_intervals_hold_for_people_who_learn():
    share, lean = within(TRUE)
    assert 0.88 <= share <= 0.92
    assert abs(lean) < 0.1


def test_taking_learners_to_stand_still_would_not_hold():
    share, lean = within(STILL)
    assert share < 0.88
    assert lean < -0.3


def test_growth_is_found_again():
    rows = practised(300, 9)[0]
    found = estimate_growth(rows)
    assert found.gain == pytest.approx(TRUE.gain, abs=0.01)
    assert found.sd == pytest.approx(TRUE.sd, abs=0.08)
    assert found.sd_day == pytest.approx(TRUE.sd_day, abs=0.08)
    assert log_likelihood(rows, found) >= log_likelihood(rows, TRUE)
    assert log_likelihood(rows, TRUE) > log_likelihood(rows, STILL) + 10


@given(st.lists(steps, min_size=1, max_size=8))
def test_without_growth_it_is_the_plain_step(row):
    known = Ability()
    for step in row:
        known = after(known, step.right, step.family)
    found = followed(row, STILL)
    assert (found.mean, found.sd) == pytest.approx((known.mean, known.sd))


@given(st.floats(-3, 3), st.floats(0.25, 1), st.floats(0, 1000))
def test_rest_widens_and_moves_nothing(mean, sd, days):
    after_rest = rested(Ability(mean, sd), days, TRUE)
    assert after_rest.mean == mean
    assert sd <= after_rest.sd <= 1
    assert taught(Ability(mean, sd), TRUE).mean > mean


def test_nothing_to_learn_from():
    rows = practised()[0]
    none = Rows(np.full_like(rows.marks, -1), rows.a, rows.b, rows.floor, rows.days)
    with pytest.raises(ValueError, match="no responses"):
        estimate_growth(none)
    assert log_likelihood(none, TRUE) == 0
