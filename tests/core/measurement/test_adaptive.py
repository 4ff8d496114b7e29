"""The next family against a published path and against going through them all."""

from csv import DictReader
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.draw import Draw
from trainer.core.measurement import adaptive
from trainer.core.measurement.ability import eap, grid
from trainer.core.measurement.adaptive import (
    Families,
    after_responses,
    bar,
    before_responses,
    due_area,
    full_pass,
    next_family,
    next_for_each,
    over_exposed,
    table_of,
)
from trainer.core.measurement.other_rules import beliefs, expected_variance, next_by
from trainer.core.measurement.response_model import information

FOLDER = Path(__file__).parent / "references"
BANK = list(DictReader((FOLDER / "bank60.csv").read_text().splitlines()[1:]))
EXPECTED = list(DictReader((FOLDER / "expected_bank60.csv").read_text().splitlines()[1:]))


def rows(quantity):
    return [
        (row["key"], float(row["value"]), float(row["tolerance"]))
        for row in EXPECTED
        if row["quantity"] == quantity
    ]


def plain(a, b, floor=0.0, area=0, enemy_set=-1):
    size = len(a)
    return Families(
        np.asarray(a, dtype=float),
        np.asarray(b, dtype=float),
        np.broadcast_to(np.asarray(floor, dtype=float), size),
        np.broadcast_to(np.asarray(area), size),
        np.broadcast_to(np.asarray(enemy_set), size),
    )


BANK60 = plain([float(row["a"]) for row in BANK], [float(row["b"]) for row in BANK])
RIGHT = [row["response"] == "1" for row in BANK]


def walk(table, steps):
    """Items (counted from 1), means and SDs along the adaptive path of bank60."""
    log, theta, barred, out = before_responses(1), 0.0, np.zeros(60, dtype=bool), []
    for _ in range(steps):
        place = next_family(table, theta, barred, 0)
        bar(table, barred, place)
        log, mean, sd = after_responses(
            log, table.families, np.array([place]), np.array([RIGHT[place]])
        )
        theta = float(mean[0])
        out.append((place + 1, theta, float(sd[0])))
    return out


PATH = walk(table_of(BANK60), 15)


@pytest.mark.parametrize(("step", "item", "tolerance"), rows("path_item"))
def test_the_path_is_the_published_one_item_by_item(step, item, tolerance):
    assert PATH[int(step) - 1][0] == item


@pytest.mark.parametrize(("step", "theta", "tolerance"), rows("path_theta"))
def test_the_path_has_its_abilities(step, theta, tolerance):
    assert PATH[int(step) - 1][1] == pytest.approx(theta, abs=tolerance)


@pytest.mark.parametrize(("step", "sd", "tolerance"), rows("path_se"))
def test_the_path_has_its_spreads(step, sd, tolerance):
    assert PATH[int(step) - 1][2] == pytest.approx(sd, abs=tolerance)


def test_the_path_is_the_same_where_few_are_held(monkeypatch):
    monkeypatch.setattr(adaptive, "HELD", 3)
    assert walk(table_of(BANK60), 15) == PATH


def test_the_next_after_five_given_items():
    given_ = [int(value) - 1 for _, value, _ in rows("administered")]
    responses = [bool(value) for _, value, _ in rows("administered_response")]
    ours = [BANK60.a[given_], BANK60.b[given_], np.zeros(5)]
    mean, sd = eap(np.array([responses], dtype=float), *ours, grid())
    for quantity, found in (("eap", mean), ("eap_se", sd)):
        ((_, value, tolerance),) = rows(quantity)
        assert found[0] == pytest.approx(value, abs=tolerance)
    barred = np.zeros(60, dtype=bool)
    barred[given_] = True
    ((_, value, _),) = rows("next_max_information")
    assert next_family(table_of(BANK60), float(mean[0]), barred, 0) + 1 == value


POINTS = np.linspace(-6, 6, 241)
OTHER = {
    "next_min_expected_posterior_variance": "least_variance",
    "next_kullback_leibler_likelihood_weighted": "likelihood_weighted",
    "next_kullback_leibler_posterior_weighted": "posterior_weighted",
    "next_closest_difficulty": "closest",
}


def after_five():
    """What the five given items say, and those items barred."""
    given_ = [int(value) - 1 for _, value, _ in rows("administered")]
    right = np.array([bool(value) for _, value, _ in rows("administered_response")])
    barred = np.isin(np.arange(60), given_)
    return beliefs(plain(BANK60.a[given_], BANK60.b[given_]), right, POINTS), barred


@pytest.mark.parametrize("quantity", OTHER)
def test_other_rules_for_the_next(quantity):
    held, barred = after_five()
    ((_, value, _),) = rows(quantity)
    assert next_by(OTHER[quantity], BANK60, POINTS, held, barred) + 1 == value
    assert next_by(OTHER[quantity], BANK60, POINTS, held, np.ones(60, dtype=bool)) is None


def test_the_variance_to_expect():
    held, barred = after_five()
    ((_, value, tolerance),) = rows("min_expected_posterior_variance")
    found = expected_variance(BANK60, POINTS, held)
    assert found[~barred].min() == pytest.approx(value, abs=tolerance)


@pytest.mark.parametrize("theta", ["-1.3", "0", "0.85"])
def test_information_of_every_item(theta):
    expected = rows(f"information_theta={theta}")
    found = information(np.array([float(theta)]), BANK60.a, BANK60.b, BANK60.floor)[0]
    assert len(expected) == 60
    for item, value, tolerance in expected:
        assert found[int(item) - 1] == pytest.approx(value, abs=tolerance)


def fractions(size, *words):
    draw = Draw(*words)
    return np.array([draw.fraction() for _ in range(size)])


MANY = Families(
    0.4 + 1.8 * fractions(900, "a"),
    4 * fractions(900, "b") - 2,
    0.4 * fractions(900, "floor"),
    (3 * fractions(900, "area")).astype(int),
    (61 * fractions(900, "enemies")).astype(int) - 1,
)
TABLE = table_of(MANY)


@given(st.floats(-7, 7), st.integers(0, 2), st.floats(0, 1), st.integers(0, 2**32 - 1))
def test_the_table_finds_what_going_through_all_finds(theta, area, share, seed):
    barred = fractions(900, seed) < share
    found = next_family(TABLE, theta, barred, area)
    assert found == full_pass(TABLE, theta, barred, area)
    each = next_for_each(TABLE, np.array([theta]), barred[None], np.array([area]))
    assert each.tolist() == [-1 if found is None else found]
    if found is not None:
        worth = information(np.array([theta]), MANY.a, MANY.b, MANY.floor)[0]
        free = ~barred & (MANY.area == area)
        assert worth[found] == pytest.approx(worth[free].max(), rel=1e-9)
        assert free[found]


@given(st.integers(0, 2**32 - 1))
def test_a_walk_keeps_its_shares_and_bars_enemies(seed):
    theta, shares = 4 * fractions(20, seed) - 2, np.array([0.5, 0.3, 0.2])
    barred, given_ = np.zeros(900, dtype=bool), np.zeros((1, 3))
    asked, left = [], np.ones((1, 3), dtype=bool)
    for step in range(20):
        area = int(due_area(given_, shares, left)[0])
        asked.append(next_family(TABLE, float(theta[step]), barred, area))
        bar(TABLE, barred, asked[-1])
        given_[0, area] += 1
    assert given_.tolist() == [[10, 6, 4]]
    sets = [one for one in MANY.enemy_set[asked] if one >= 0]
    assert len(set(asked)) == 20 and len(set(sets)) == len(sets)


def test_what_was_in_too_many_sittings_rests():
    assert over_exposed(np.array([0.0, 5.0, 6.0]), 20, 0.25).tolist() == [False, False, True]


def test_when_all_are_barred_there_is_none():
    few = table_of(plain([1.0, 1.0], [0.0, 0.5]))
    assert next_family(few, 0.0, np.ones(2, dtype=bool), 0) is None


@pytest.mark.parametrize(("a", "floor"), [([0.0, 1.0], 0.0), ([1.0, 1.0], 1.0), ([], 0.0)])
def test_what_is_no_family_is_refused(a, floor):
    with pytest.raises(ValueError, match=r"shapes|family [01]"):
        plain(a, [0.0] * len(a), floor)
