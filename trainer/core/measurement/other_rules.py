"""Other rules for the next family than most information at the estimate, for short adaptive runs.

After few answers the estimate itself is unsure, and most information there can be little where the
ability really lies. These rules look at the whole posterior; each goes through every family.
"""

from collections.abc import Mapping
from typing import Literal

import numpy as np

from trainer.core.measurement.adaptive import Families, Flags
from trainer.core.measurement.response_model import Floats, probability

Rule = Literal["least_variance", "likelihood_weighted", "posterior_weighted", "closest"]
By = Literal["likelihood", "posterior"]


def next_by(
    rule: Rule, families: Families, points: Floats, held: "Beliefs", barred: Flags
) -> int | None:
    """The place of the best family by a rule, the first of equals; None if all are barred.

    Parameters
    ----------
    rule : least expected posterior variance (van der Linden 1998); most Kullback-Leibler
        divergence from the estimate, weighted by the likelihood (Chang & Ying 1996) or by the
        posterior (Barrada and others 2009); difficulty closest to the estimate (Urry 1970)
    points : (points,) abilities, equally spaced
    held : likelihood, posterior and estimate there, by `beliefs`
    barred : (families,) those that may not be asked

    References
    ----------
    van der Linden 1998, Psychometrika 63; Chang & Ying 1996, Applied Psychological Measurement 20;
    Barrada, Olea, Ponsoda & Abad 2009, Methodology 5; Urry 1970, doctoral thesis, Purdue.
    """
    worth = _worth(rule, families, points, held)
    worth = np.where(barred, -np.inf, worth)
    best = int(worth.argmax())
    return best if worth[best] > -np.inf else None


def _worth(rule: Rule, families: Families, points: Floats, held: "Beliefs") -> Floats:
    if rule == "least_variance":
        return np.asarray(-expected_variance(families, points, held))
    if rule == "closest":
        return np.asarray(-np.abs(families.b - held["estimate"][0]))
    by: By = "likelihood" if rule == "likelihood_weighted" else "posterior"
    return divergence(families, points, held, by)


Beliefs = Mapping[str, Floats]
"""`likelihood`, `posterior`: (points,), the latter summing to 1; `estimate`: (1,), its mean."""


def beliefs(given: Families, right: Flags, points: Floats) -> Beliefs:
    """What answers to some families say, from N(0, 1). `right`: (given,)."""
    p = probability(points, given.a, given.b, given.floor)
    likelihood = np.where(right, p, 1 - p).prod(axis=1)
    posterior = likelihood * np.exp(-(points**2) / 2)
    posterior /= posterior.sum()
    return {
        "likelihood": likelihood,
        "posterior": posterior,
        "estimate": np.array([posterior @ points]),
    }


def expected_variance(families: Families, points: Floats, held: Beliefs) -> Floats:
    """Posterior variance to expect after an answer to each family, (families,).

    Each of the two answers is taken as likely as it is at the estimate.
    """
    p = probability(points, families.a, families.b, families.floor)
    at = probability(held["estimate"], families.a, families.b, families.floor)[0]
    total = np.zeros(len(families.a))
    for chance, likely in ((p, at), (1 - p, 1 - at)):
        weight = held["posterior"][:, None] * chance
        weight /= weight.sum(axis=0)
        total += likely * (points**2 @ weight - (points @ weight) ** 2)
    return total


def divergence(families: Families, points: Floats, held: Beliefs, by: By) -> Floats:
    """Kullback-Leibler divergence of each ability from the estimate, weighted, (families,)."""
    p = probability(points, families.a, families.b, families.floor)
    at = probability(held["estimate"], families.a, families.b, families.floor)
    apart = at * np.log(at / p) + (1 - at) * np.log((1 - at) / (1 - p))
    return np.asarray(held[by] @ apart)
