"""Rasch difficulties without any assumption on how abilities are spread."""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from trainer.core.measurement.evidence import Marks, check_marks
from trainer.core.measurement.response_model import Floats

STEPS, CLOSE = 50, 1e-8


@dataclass(frozen=True, slots=True)
class Conditional:
    """Difficulties that sum to 0 and their standard errors (families,), and the log-likelihood."""

    b: Floats
    se_b: Floats
    log_likelihood: float


def conditional_rasch(marks: Marks) -> Conditional:
    """Conditional maximum likelihood: given each person's number right, ability drops out.

    Parameters
    ----------
    marks : (people, families) of 1 right and 0 wrong, complete. People with all or none right
        say nothing.

    Raises
    ------
    ValueError : If a response is missing, there are fewer than two families, a family is answered
        alike by all people who count, or there is no maximum: families fall into two parts, and
        nobody misses any of the one and gets any of the other right (Fischer 1981, Psychometrika
        46).

    Notes
    -----
    ln L = -sum s b - sum n_r ln gamma_r(exp(-b)), slope 1, with s the families' scores, n_r the
    people with r right, gamma the elementary symmetric functions, by summation. A shift of all b
    changes nothing, so the information is inverted on those that sum to 0.

    References
    ----------
    Andersen 1972, Journal of the Royal Statistical Society B 34; Fischer 1974, Einfuehrung in die
    Theorie psychologischer Tests, ch. 14. Agrees with R eRm and R psychotools.
    """
    families = marks.shape[1]
    if families < 2 or (marks < 0).any():  # noqa: PLR2004 a comparison needs two
        raise ValueError(f"{marks.shape=}, or a response is missing")
    check_marks(marks)
    total = marks.sum(axis=1)
    said = marks[(total > 0) & (total < families)]
    scores = said.sum(axis=0, dtype=float)
    if (scores == 0).any() or (scores == len(said)).any():
        raise ValueError("a family is answered alike by all")
    beaten = csr_array(said.T.astype(float) @ (1.0 - said))
    if connected_components(beaten, connection="strong")[0] > 1:
        raise ValueError("no maximum: some families are always harder than the others")
    people = np.bincount(said.sum(axis=1), minlength=families + 1).astype(float)
    b, level = np.zeros(families), np.full((families, families), 1 / families)
    for _ in range(STEPS):
        expected, information, log_gamma = _moments(b, people)
        covariance = np.linalg.inv(information + level) - level
        step = covariance @ (expected - scores)
        b = b + step
        if np.abs(step).max() < CLOSE:
            break
    else:
        raise ValueError(f"no rest after {STEPS} steps")
    height = -float(scores @ b) - float(people @ log_gamma)
    return Conditional(b, np.sqrt(np.diag(covariance)), height)


def _moments(b: Floats, people: Floats) -> tuple[Floats, Floats, Floats]:
    """Expected scores, information, and ln gamma of each number right."""
    families, easy = len(b), np.exp(-b)
    both = np.zeros((families, families, families + 1))
    both[:, :, 0] = 1
    for k in range(families):
        grown = both.copy()
        grown[:, :, 1:] += easy[k] * both[:, :, :-1]
        grown[k], grown[:, k] = both[k], both[:, k]
        both = grown
    without = both[np.arange(families), np.arange(families)]
    gamma = without[0].copy()
    gamma[1:] += easy[0] * without[0][:-1]
    one = easy[:, None] * np.roll(without, 1, axis=1) / gamma
    two = easy[:, None, None] * easy[None, :, None] * np.roll(both, 2, axis=2) / gamma
    one[:, 0] = two[:, :, 0] = two[:, :, 1] = 0
    for j in range(families):
        two[j, j] = one[j]
    information = two @ people - (one * people) @ one.T
    return one @ people, information, np.log(gamma)
