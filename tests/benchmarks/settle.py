"""How often calibrations of small sites come to rest, and how honest they are then.

Run: python -m tests.benchmarks.settle [SITES], so many made sites of each kind (40 if not said). A
line each: share that came to rest, share of true difficulties within their 90 per cent, root mean
square error of difficulties, mean spread (0.5 made the sites; judged before any answer: 0.8), and
processor time a site.
"""

import sys
from datetime import date
from time import process_time

import numpy as np

from tests.core.measurement.calibration.site import made_answers, made_families
from trainer.core.draw import Draw
from trainer.core.measurement.calibration.recalibrate import recalibrate

DAY, NINETY = date(2026, 3, 3), 1.645
KINDS = ((200, 40, 12), (60, 8, 25), (250, 30, 30), (100, 12, 17), (100, 6, 34), (231, 55, 19))
"""Families, people, answers of each. The last is as large as the demo."""


def one(families, people, each, seed):
    """Whether it came to rest, errors in theta and in SD, spread, seconds."""
    draw = Draw("settling", seed, families, people)
    made = made_families(draw, families)
    answers = made_answers(draw, made, people, each)
    begun = process_time()
    found = recalibrate(answers, DAY)
    took = process_time() - begun
    off = np.array([made[name][2] - known.b for name, known in found.families.items()])
    sd = np.array([known.sd for known in found.families.values()])
    within = (np.abs(off) < NINETY * sd).mean()
    return found.converged, within, np.sqrt((off**2).mean()), found.outlook.spread, took


def main(sites):
    for kind in KINDS:
        said = np.array([one(*kind, seed) for seed in range(sites)], dtype=float).mean(axis=0)
        words = "at rest {:.3f}, within {:.3f}, error {:.3f}, spread {:.3f}, {:.2f} s".format(*said)
        print("{} families, {} people, {} answers of each: ".format(*kind) + words, flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 40)
