"""Chance for tests that simulate many people: seeded, so that a run can be repeated."""

import numpy as np


def many(seed):
    """A stream of numbers as arrays; the trainer's own chance draws one at a time."""
    return np.random.default_rng(seed)  # noqa: TID251  simulated people, never the trainer's
