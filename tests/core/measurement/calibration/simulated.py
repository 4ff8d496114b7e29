"""Simulated responses whose parameters are known."""

import numpy as np
from scipy.special import ndtri

from trainer.core.draw import Draw


def fractions(draw, *shape):
    return np.array([draw.fraction() for _ in range(int(np.prod(shape)))]).reshape(shape)


def normals(draw, *shape):
    return ndtri(1 - fractions(draw, *shape))


def answered(draw, theta, a, b, floor=0.0):
    """Marks (people, families) under the 2PL with a floor."""
    p = floor + (1 - floor) / (1 + np.exp(-a * (theta[:, None] - b)))
    return (fractions(draw, *p.shape) < p).astype(np.int8)


def simulated(people, families, seed, floor=0.0, missing=0.0):
    """marks, theta, a, b: abilities and difficulties N(0, 1), slopes lognormal(0, 0.3)."""
    draw = Draw("simulated", seed)
    a, b = np.exp(0.3 * normals(draw, families)), normals(draw, families)
    theta = normals(draw, people)
    marks = answered(draw, theta, a, b, floor)
    if missing:
        marks[fractions(draw, *marks.shape) < missing] = -1
    return marks, theta, a, b
