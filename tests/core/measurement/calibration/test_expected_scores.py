"""Scores against R catR, R mirt, R eRm and Baker: every row of four files that is a score."""

from functools import cache

import numpy as np
import pytest

from tests.core.measurement.calibration.outside import bank60, expected
from trainer.core.measurement.ability import eap, grid
from trainer.core.measurement.response_model import information
from trainer.core.measurement.scores import score

LSAT6 = expected("expected_lsat6_scores")
BANK60 = [
    row
    for row in expected("expected_bank60")
    if not row[0].startswith(("path", "next", "min_expected"))
]
BAKER = expected("expected_baker_three_items")


def test_no_row_is_left_out():
    """The other rows of bank60, of the path and of rules for the next, are met in test_adaptive."""
    assert (len(LSAT6), len(BANK60), len(BAKER)) == (304, 192, 11)


def given(rows, quantity):
    return np.array([value for name, _, value, _ in rows if name == quantity])


@cache
def lsat6():
    a, b, none = given(LSAT6, "item_a"), given(LSAT6, "item_b"), np.zeros(5)
    patterns = [f"{n:05b}" for n in range(32)]
    marks = np.array([[int(mark) for mark in pattern] for pattern in patterns], np.int8)
    values = {}
    for rule in ("eap", "map", "wle", "ml"):
        pair = eap(marks, a, b, none, grid()) if rule == "eap" else score(marks, a, b, none, rule)
        for pattern, theta, se in zip(patterns, *pair, strict=True):
            values[rule, pattern], values[f"{rule}_se", pattern] = theta, se
    for place in range(5):
        values["item_a", str(place + 1)], values["item_b", str(place + 1)] = a[place], b[place]
    for quantity, key, _, _ in LSAT6:
        if quantity.startswith("information"):
            of = information(np.array([float(key.removeprefix("theta="))]), a, b, none)[0]
            single = quantity.removeprefix("information_item")
            values[quantity, key] = of[int(single) - 1] if single.isdigit() else of.sum()
    return values


@pytest.mark.parametrize(("quantity", "key", "value", "tolerance"), LSAT6)
def test_lsat6(quantity, key, value, tolerance):
    assert lsat6()[quantity, key] == pytest.approx(value, abs=tolerance)


def test_no_maximum_where_all_or_none_are_right():
    for pattern in ("00000", "11111"):
        assert np.isnan([lsat6()["ml", pattern], lsat6()["ml_se", pattern]]).all()


@cache
def baker():
    a, b, said = (given(BAKER, name) for name in ("item_a", "item_b", "response"))
    theta, se = score(said[None].astype(np.int8), a, b, np.zeros(3), "ml")
    values = {"ml_theta": theta[0], "ml_se": se[0]}
    for name, numbers in (("item_a", a), ("item_b", b), ("response", said)):
        values |= {(name, str(n + 1)): number for n, number in enumerate(numbers)}
    return values


@pytest.mark.parametrize(("quantity", "key", "value", "tolerance"), BAKER)
def test_baker(quantity, key, value, tolerance):
    found = baker().get((quantity, key), baker().get(quantity))
    assert found == pytest.approx(value, abs=tolerance)


@cache
def small_bank():
    bank = bank60()
    none = np.zeros(60)
    taken = given(BANK60, "administered").astype(int) - 1
    marks = np.full((1, 60), -1, np.int8)
    marks[0, taken] = given(BANK60, "administered_response")
    mean, sd = eap(marks, bank["a"], bank["b"], none, grid())
    values = {("eap", ""): mean[0], ("eap_se", ""): sd[0]}
    for place, item in enumerate(taken):
        values["administered", str(place + 1)] = item + 1
        values["administered_response", str(place + 1)] = marks[0, item]
    for quantity, key, _, _ in BANK60:
        if quantity.startswith("information"):
            theta = np.array([float(quantity.removeprefix("information_theta="))])
            of = information(theta, bank["a"], bank["b"], none)[0]
            values[quantity, key] = of[int(key) - 1]
    return values


@pytest.mark.parametrize(("quantity", "key", "value", "tolerance"), BANK60)
def test_bank60(quantity, key, value, tolerance):
    assert small_bank()[quantity, key] == pytest.approx(value, abs=tolerance)
