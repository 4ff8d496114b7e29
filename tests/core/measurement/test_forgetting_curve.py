"""The curves of forgetting against Ebbinghaus's own table, and two unrelated fits of it."""

import numpy as np
import pytest

from tests.support.references import agrees, by_name, expected, rows_of
from trainer.core.measurement.forgetting_curve import (
    PUBLISHED,
    exponential,
    fit_exponential,
    fit_logarithmic,
    logarithmic,
)

TABLE = {
    name: np.array([float(row[name]) for row in rows_of("forgetting_1885")])
    for name in ("minutes", "hours", "savings")
}
ROWS = expected("forgetting_1885")


def found():
    """(quantity, key) -> value."""
    by_log = fit_logarithmic(TABLE["minutes"], TABLE["savings"])
    by_exponent = fit_exponential(TABLE["hours"], TABLE["savings"])
    values = {
        ("log_1885_sse", ""): by_log.squares,
        ("exponential_sse", ""): by_exponent.squares,
        ("published_k", ""): PUBLISHED[0],
        ("published_c", ""): PUBLISHED[1],
    }
    values |= zip(
        [("log_1885_least_squares", name) for name in "kc"], by_log.parameters, strict=True
    )
    names = [("exponential_least_squares", name) for name in ("m", "lambda")]
    values |= zip(names, by_exponent.parameters, strict=True)
    for row in ROWS:
        if row.quantity == "published_formula_percent":
            minutes = np.array([float(row.key.partition("=")[2])])
            values[row.quantity, row.key] = 100 * float(logarithmic(minutes, *PUBLISHED)[0])
    return values


FOUND = found()


@pytest.mark.parametrize("row", ROWS, ids=by_name)
def test_every_row(row):
    agrees(FOUND[row.quantity, row.key], row)


def test_what_a_curve_made_is_found_again():
    minutes = np.array([2.0, 30, 600, 9000])
    again = fit_logarithmic(minutes, logarithmic(minutes, 2.5, 1.1))
    assert again.parameters == pytest.approx((2.5, 1.1))
    hours = minutes / 60
    assert fit_exponential(hours, exponential(hours, 0.6, 0.01)).parameters == pytest.approx(
        (0.6, 0.01)
    )


@pytest.mark.parametrize(("minutes", "kept"), [([1, 2], [1, 1]), ([0.5, 2, 3], [1, 1, 1])])
def test_what_cannot_be_fitted(minutes, kept):
    with pytest.raises(ValueError, match="delays"):
        fit_logarithmic(np.array(minutes, dtype=float), np.array(kept, dtype=float))
