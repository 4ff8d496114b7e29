"""Two parallel 60-item forms from 2,000 families: how near the proven best, and how fast.

8 topics with exact counts, 40 enemy sets, a time limit, information at the cut. Beside ours, in
the same run: the plain two-form model given to HiGHS, and to CP-SAT with two workers, each stopped
when it has proven our gap or after the time given. Then one sitting's form from the shipped bank.

Run: pip install .[benchmark]; python -m tests.benchmarks.assemble [seconds for CP-SAT]
"""

import sys
import time
from statistics import median

import numpy as np
from ortools.sat.python import cp_model

from trainer.core.draw import Draw
from trainer.core.measurement.assembly import Assembled, assemble
from trainer.core.measurement.programme import Row, solve
from trainer.core.measurement.requirement import Candidate, Demands, enemy_rows, requirements
from trainer.core.measurement.response_model import information
from trainer.use_cases import draw_form
from trainer.use_cases.open_bank import open_bank

SIZE, FORMS, ITEMS, CUT, GAP = 2000, 2, 60, 0.3, 1e-3
TOPICS, SETS = 8, 40
TIMES = 3


def pool(seed: int) -> tuple[list[Candidate], np.ndarray, Demands]:
    chance = np.random.default_rng(seed)
    topics = chance.integers(0, TOPICS, SIZE)
    sets = np.where(chance.random(SIZE) < 0.1, chance.integers(0, SETS, SIZE), -1)
    seconds = np.clip(chance.lognormal(4.3, 0.35, SIZE), 20, 240).round()
    a, b = chance.lognormal(0, 0.3, SIZE), chance.normal(0, 1, SIZE)
    found = [
        Candidate(f"f{n}", f"t{topics[n]}", False, enemy_set=f"s{sets[n]}" if sets[n] >= 0 else "",
                  seconds=float(seconds[n]))
        for n in range(SIZE)
    ]  # fmt: skip
    counts = {f"t{n}": ITEMS // TOPICS + (n < ITEMS % TOPICS) for n in range(TOPICS)}
    most = float(np.median(seconds)) * ITEMS
    at_cut = information(np.array([CUT]), a, b, np.zeros(SIZE))[0]
    return found, at_cut, Demands(counts, seconds_most=most)


def rows_of_all(found, demands) -> list[Row]:
    """The plain model's rows, without the last column: the least information of a form."""
    one = [each.row for each in requirements(found, demands)]
    one += [row for _, row in enemy_rows(found)]
    out = [row.shifted(form * SIZE) for form in range(FORMS) for row in one]
    return out + [Row(np.array([n, n + SIZE]), np.ones(2), 0.0, 1.0) for n in range(SIZE)]


def plain_highs(found, at_cut, demands) -> float:
    rows = rows_of_all(found, demands)
    for form in range(FORMS):
        columns = np.append(np.arange(SIZE) + form * SIZE, FORMS * SIZE)
        rows.append(Row(columns, np.append(at_cut, -1.0), 0.0, np.inf))
    worth = np.append(np.zeros(FORMS * SIZE), 1.0)
    most = np.append(np.ones(FORMS * SIZE), at_cut.sum())
    return solve(worth, rows, most=most, free=1, gap=GAP).worth


def cp_sat(found, at_cut, demands, seconds: float) -> tuple[float, float]:
    """Least information and proven bound of CP-SAT, in the units of at_cut."""
    model, scale = cp_model.CpModel(), 10_000
    x = [model.new_bool_var("") for _ in range(FORMS * SIZE)]
    for row in rows_of_all(found, demands):
        total = sum(int(a) * x[c] for c, a in zip(row.columns, row.amounts, strict=True))
        if np.isfinite(row.least):
            model.add(total >= int(row.least))
        if np.isfinite(row.most):
            model.add(total <= int(row.most))
    whole = (at_cut * scale).round().astype(int)
    least = model.new_int_var(0, int(whole.sum()), "")
    for form in range(FORMS):
        model.add(least <= sum(int(whole[n]) * x[n + form * SIZE] for n in range(SIZE)))
    model.maximize(least)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds, solver.parameters.num_workers = seconds, 2
    solver.parameters.relative_gap_limit = GAP
    solver.solve(model)
    return solver.objective_value / scale, solver.best_objective_bound / scale


def timed(work) -> tuple[float, object]:
    began = time.perf_counter()
    found = work()
    return time.perf_counter() - began, found


def main(seconds: float) -> None:
    for seed in range(TIMES):
        made = pool(seed)
        ours, found = timed(lambda made=made: assemble(*made, FORMS, GAP))
        assert isinstance(found, Assembled) and not found.unmet
        least = min(form.information for form in found.forms)
        plain, highs = timed(lambda made=made: plain_highs(*made))
        other, (value, bound) = timed(lambda made=made: cp_sat(*made, seconds))
        print(
            f"pool {seed}: ours {ours:.2f} s, proven gap {100 * found.gap:.4f} %;"
            f" plain model in HiGHS {plain / ours:.1f} times as long (value {highs / least:.5f});"
            f" CP-SAT {other / ours:.0f} times as long, proven"
            f" {100 * (bound - value) / bound:.2f} % (value {value / least:.5f})",
            flush=True,
        )
    bank = open_bank()
    draw_form.form_of(bank, "tape_in", draw_form.NOT_AT_ALL, Draw("first"))
    each = [
        timed(lambda n=n: draw_form.form_of(bank, "tape_in", draw_form.NOT_AT_ALL, Draw(n)))[0]
        for n in range(20)
    ]
    print(f"a sitting's form from the shipped bank: median {1000 * median(each):.0f} ms")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 20.0)
