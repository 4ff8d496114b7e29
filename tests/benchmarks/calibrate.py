"""Calibration and scoring beside two reference libraries, on the same data in one run.

Run: python -m tests.benchmarks.calibrate [large] [--rounds N]. Programs take turns, each in a
process of its own, which makes the same seeded responses, times only the work asked for, and
tells its greatest memory. `large` adds 100,000 people x 200 families with 30 % missing (minutes).
Ratios compare medians of wall time; processor time is printed beside them for busy machines.
Accuracy: root mean square error of slopes and difficulties against those that made the data; of
scores, the largest difference from 2,001 points on [-8, 8].
"""

import json
import os
import resource
import subprocess
import sys
from statistics import median
from time import perf_counter, process_time

import numpy as np

from trainer.core.measurement.ability import eap, grid
from trainer.core.measurement.calibration.estimate import estimate, evidence_of
from trainer.core.measurement.calibration.two_parameter import TwoParameter

PEOPLE_AT_A_TIME = 10_000
CALIBRATIONS = {"1,000 x 50": (1_000, 50, 0.0), "10,000 x 100": (10_000, 100, 0.0)}
LARGE = {"100,000 x 200, 30 % missing": (100_000, 200, 0.3)}
SCORED = (100_000, 50, 0.0)
POINTS = {50: 61, 100: 61, 200: 99}
"""Points that the reference library needs for equal accuracy, by families."""


def made(people, families, missing):
    """marks, slopes, difficulties: 2PL, made in parts to keep memory for the work."""
    chance = np.random.default_rng(1)
    a, b = chance.lognormal(0, 0.3, families), chance.normal(0, 1, families)
    marks = np.empty((people, families), np.int8)
    for start in range(0, people, PEOPLE_AT_A_TIME):
        part = marks[start : start + PEOPLE_AT_A_TIME]
        theta = chance.normal(size=(len(part), 1))
        part[:] = chance.random(part.shape) < 1 / (1 + np.exp(-a * (theta - b)))
        if missing:
            part[chance.random(part.shape) < missing] = -1
    return marks, a, b


def ours(marks):
    found = estimate(evidence_of(marks), np.zeros(marks.shape[1]), TwoParameter())
    assert found.converged
    return found.a, found.b


def mirt(marks, errors):
    from mirt import fit_mirt

    points = POINTS[marks.shape[1]]
    found = fit_mirt(
        marks, n_quadpts=points, accelerate="squarem", compute_standard_errors=errors
    ).model.parameters
    return found["discrimination"], found["difficulty"]


def girth(marks):
    from girth import twopl_mml

    found = twopl_mml(marks.T.astype(int))
    return found["Discrimination"], found["Difficulty"]


FITS = {
    "ours, with errors": ours,
    "mirt, SQUAREM, with errors": lambda marks: mirt(marks, True),
    "mirt, SQUAREM, no errors": lambda marks: mirt(marks, False),
    "girth, no errors": girth,
}


def scored(program, marks, a, b):
    none = np.zeros(len(a))
    if program == "ours":
        return lambda: eap(marks, a, b, none, grid())[0]
    if program == "girth":
        from girth import ability_eap

        turned = marks.T.astype(int)
        options = {"quadrature_n": 61, "quadrature_bounds": (-6, 6)}
        return lambda: ability_eap(turned, b, a, options)
    from mirt import fit_mirt, fscores

    model = fit_mirt(marks[:500], compute_standard_errors=False, max_iter=5).model
    model.set_parameters(discrimination=a, difficulty=b)
    return lambda: fscores(model, marks, n_quadpts=61).theta.ravel()


def one(task, program, people, families, missing):
    """What one process does and tells."""
    marks, a, b = made(people, families, missing)
    if task == "score":
        work = scored(program, marks, a, b)
    else:
        FITS[program](marks[:200, :50] if people > 200 else marks)  # libraries load, caches warm

        def work():
            return FITS[program](marks)

    wall, spent = perf_counter(), process_time()
    found = work()
    told = {"wall": perf_counter() - wall, "cpu": process_time() - spent}
    if task == "score":
        exact = eap(marks[:2000], a, b, np.zeros(families), np.linspace(-8, 8, 2001))[0]
        told["errors"] = [float(np.abs(found[:2000] - exact).max())]
    else:
        told["errors"] = [
            float(np.sqrt(np.mean((x - y) ** 2))) for x, y in zip(found, (a, b), strict=True)
        ]
    told["memory"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(json.dumps(told))


def compared(title, task, programs, size, rounds):
    print(f"\n{title}")
    told = {program: [] for program in programs}
    for _ in range(rounds):
        for program in programs:
            words = [sys.executable, "-m", __spec__.name, "one", task, program, *map(str, size)]
            run = subprocess.run(words, capture_output=True, text=True, env=os.environ)
            if run.returncode:
                print(f"  {program}: {run.stderr.strip().splitlines()[-1]}")
                told.pop(program)
                programs = [name for name in programs if name != program]
                continue
            told[program].append(json.loads(run.stdout))
    best = {kind: median(x[kind] for x in told[programs[0]]) for kind in ("wall", "cpu")}
    for program, runs in told.items():
        wall, cpu = (median(run[kind] for run in runs) for kind in ("wall", "cpu"))
        errors = " ".join(
            f"{value:.2g}" if task == "score" else f"{value:.4f}" for value in runs[0]["errors"]
        )
        memory = max(run["memory"] for run in runs)
        print(
            f"  {program:27} {wall:8.3f} s {wall / best['wall']:7.1f} x   cpu {cpu:8.3f} s"
            f" {cpu / best['cpu']:7.1f} x   error {errors}   {memory} MB"
        )


def main(words):
    if words[:1] == ["one"]:
        task, program, people, families, missing = words[1:]
        one(task, program, int(people), int(families), float(missing))
        return
    rounds = int(words[words.index("--rounds") + 1]) if "--rounds" in words else 3
    for title, size in CALIBRATIONS.items():
        compared(f"2PL, {title}", "fit", list(FITS), size, rounds)
    people, families, _ = SCORED
    title = f"EAP and posterior SD, {people:,} x {families}"
    compared(title, "score", ["ours", "mirt", "girth"], SCORED, rounds)
    if "large" in words:
        for title, size in LARGE.items():
            names = ["ours, with errors", "mirt, SQUAREM, no errors"]
            compared(f"2PL, {title}", "fit", names, size, 1)


if __name__ == "__main__":
    main(sys.argv[1:])
