"""Whether somebody's responses fit their own ability, or luck or foreknowledge had a hand."""

from dataclasses import dataclass

import numpy as np
from scipy.special import expit

from trainer.core.measurement.evidence import Marks
from trainer.core.measurement.response_model import Floats, log_of
from trainer.core.measurement.scores import score

FEWEST = 10
"""Below so many responses a pattern says nothing."""
ABERRANT = -2.33
"""1 % of people who answer as the model says fall below this in long tests, up to 2 % with 10 to 40
responses and floors."""
ALIKE = 1e-9
"""Where all families are alike every order of answers is as likely, and nothing can be unusual."""
FOREKNOWN = 2.33
"""1 % of people without foreknowledge come above this."""


@dataclass(frozen=True, slots=True)
class PersonFit:
    """Per person, (people,) each; NaN below 10 responses.

    `lz`: how likely the pattern is at its own ability, standardised; far below 0 it is too
    unlikely. `hard`: right responses to families above the person's ability against what the
    model expects, standardised (far above 0: guessed or knew). `easy`: the same for those below
    (far below 0: slipped or did not try). `aberrant`: lz below -2.33.
    """

    lz: Floats
    hard: Floats
    easy: Floats
    aberrant: "np.typing.NDArray[np.bool_]"


def person_fit(marks: Marks, a: Floats, b: Floats, floor: Floats) -> PersonFit:
    """The standardised log-likelihood with its correction for estimated ability (lz*).

    Parameters
    ----------
    marks : (people, families) of 1 right, 0 wrong, -1 not given
    a, b, floor : (families,), as `response_model.probability`, with its errors

    Notes
    -----
    W = sum (x - P) w with w = ln(P / Q). At the weighted likelihood estimate
    sum (x - P) r + r0 = 0 with r = P' / (P Q) and r0 = J / (2 I); with
    c = sum P' w / sum P' r, lz* = (W + c r0) / sqrt(sum (w - c r)^2 P Q) is near N(0, 1).

    References
    ----------
    Drasgow, Levine & Williams 1985, British Journal of Mathematical and Statistical Psychology 38;
    Snijders 2001, Psychometrika 66; Magis, Raiche & Beland 2012, Journal of Educational and
    Behavioral Statistics 37.
    """
    theta, _ = score(marks, a, b, floor, "wle")
    enough = (marks >= 0).sum(axis=1) >= FEWEST
    theta = np.where(enough, theta, 0.0)
    given = marks >= 0
    z = a * (theta[:, None] - b)
    rising = expit(z)
    p, q = floor + (1 - floor) * rising, (1 - floor) * expit(-z)
    spread, off = p * q, np.where(given, np.where(marks == 1, q, -p), 0.0)
    r, w = a * expit(z - log_of(floor)), np.logaddexp(log_of(floor), z) - np.log1p(-floor)
    climb = spread * r
    c = _sums(climb * w, given) / _sums(climb * r, given)
    bias = _sums(r * climb * a * (1 - 2 * rising), given) / (2 * _sums(climb * r, given))
    wide = np.sqrt(_sums((w - c[:, None] * r) ** 2 * spread, given))
    level = (off * w).sum(axis=1) + c * bias
    lz = np.divide(level, wide, out=np.zeros_like(level), where=wide > ALIKE)
    hard, easy = given & (theta[:, None] < b), given & (theta[:, None] >= b)
    lz = np.where(enough, lz, np.nan)
    return PersonFit(
        lz,
        np.where(enough, _standardised(off, spread, hard), np.nan),
        np.where(enough, _standardised(off, spread, easy), np.nan),
        np.nan_to_num(lz) < ABERRANT,
    )


def foreknowledge(
    marks: Marks,
    exposed: "np.typing.NDArray[np.bool_]",
    a: Floats,
    b: Floats,
    floor: Floats,
) -> Floats:
    """How much abler a person looks on families that may have leaked than on the others.

    z = (theta exposed - theta others) / sqrt(se^2 + se^2), by weighted likelihood, (people,); NaN
    where either side has no responses. Above 2.33 one in a hundred comes by chance. `exposed`:
    (families,) of booleans; else as `person_fit`.

    References
    ----------
    Sinharay 2017, Journal of Educational and Behavioral Statistics 42 (signed tests of item
    preknowledge); Guo & Drasgow 2010, International Journal of Selection and Assessment 18.
    """
    there, theta_error = score(np.where(exposed, marks, -1).astype(np.int8), a, b, floor, "wle")
    rest, rest_error = score(np.where(exposed, -1, marks).astype(np.int8), a, b, floor, "wle")
    return np.asarray((there - rest) / np.hypot(theta_error, rest_error))


def _sums(values: Floats, given: "np.typing.NDArray[np.bool_]") -> Floats:
    sums: Floats = np.where(given, values, 0.0).sum(axis=1)
    return sums


def _standardised(off: Floats, spread: Floats, among: "np.typing.NDArray[np.bool_]") -> Floats:
    """Sum of residuals over its SD; 0 where there are none."""
    variance = _sums(spread, among)
    total = _sums(off, among)
    found: Floats = np.divide(
        total, np.sqrt(variance), out=np.zeros_like(total), where=variance > 0
    )
    return found
