"""Whether the answers of a sitting fit one another: a reason to look, never to decide."""

from collections.abc import Sequence

import numpy as np

from trainer.core.measurement.decision import parameters
from trainer.core.measurement.person_fit import FOREKNOWN, person_fit
from trainer.core.measurement.priors import Difficulty

GUESSED, SLIPPED, MIXED = "hard_right", "easy_wrong", "mixed"


def unusual(right: Sequence[bool], families: Sequence[Difficulty]) -> str:
    """What does not fit about a sitting, '' where all does.

    'hard_right': questions beyond the person's ability right more often than they should be;
    'easy_wrong': easy ones wrong more often; 'mixed': too little order altogether.
    """
    marks = np.array([[int(one) for one in right]], np.int8)
    found = person_fit(marks, *parameters(families))
    if not found.aberrant[0]:
        return ""
    hard, easy = float(found.hard[0]), float(found.easy[0])
    if hard > FOREKNOWN and hard > -easy:
        return GUESSED
    return SLIPPED if -easy > FOREKNOWN else MIXED
