"""The next family of an adaptive test, and 1,000 examinees at once, beside catsim in the same run.

One step: content balance, exposure control, enemies and the choice, 20 items already given, from
10,000 and 100,000 families. All examinees: 1,000 people, 30 items each from 1,000, through the
public functions; catsim does a tenth of the people, times ten.

Run: pip install .[benchmark]; python -m tests.benchmarks.adapt
"""

import time
from statistics import median

import numpy as np
from catsim.estimation import NumericalSearchEstimator
from catsim.initialization import FixedPointInitializer
from catsim.item_bank import ItemBank
from catsim.selection import MaxInfoSelector
from catsim.simulation import Simulator
from catsim.stopping import TestLengthStopper

from trainer.core.measurement.adaptive import (
    Families,
    after_responses,
    bar,
    before_responses,
    due_area,
    full_pass,
    next_family,
    next_for_each,
    over_exposed,
    table_of,
)

AREAS, GIVEN, WALKS = 8, 20, 60
PEOPLE, ITEMS, BANK = 1000, 30, 1000
SITTINGS, MOST = 50, 0.25


def bank_of(size: int, areas: int, chance) -> Families:
    return Families(
        chance.lognormal(0, 0.3, size),
        chance.normal(size=size),
        np.full(size, 0.2),
        chance.integers(0, areas, size),
        chance.integers(-1, max(size // 20, 1), size),
    )


def one_step(size: int, chance) -> None:
    table = table_of(bank_of(size, AREAS, chance))
    worn = over_exposed(chance.poisson(4, size).astype(float), SITTINGS, MOST)
    shares, took, full = np.full(AREAS, 1 / AREAS), [], 0
    for _ in range(WALKS):
        barred, given, theta = worn.copy(), np.zeros((1, AREAS)), float(chance.normal())
        left = np.ones((1, AREAS), dtype=bool)
        for step in range(GIVEN + 5):
            before = barred.copy()
            began = time.perf_counter()
            area = int(due_area(given, shares, left)[0])
            found = next_family(table, theta, barred, area)
            bar(table, barred, found)
            took += [time.perf_counter() - began] * (step >= GIVEN)
            given[0, area] += 1
            full += found != full_pass(table, theta, before, area)
            theta += 0.3 * float(chance.normal())
    theirs = catsim_step(table.families, chance)
    ours = median(took)
    print(
        f"next of {size}: {1e6 * ours:.0f} us (95 % within {1e6 * np.quantile(took, 0.95):.0f} us),"
        f" catsim {theirs / ours:.0f} times as long; {full} of {WALKS * (GIVEN + 5)} other than the"
        f" full pass would choose"
    )


def catsim_step(families: Families, chance) -> float:
    items = np.column_stack([families.a, families.b, families.floor, np.ones(len(families.a))])
    bank, select, took = ItemBank(items), MaxInfoSelector(), []
    for _ in range(5):
        given = [int(one) for one in chance.choice(len(items), GIVEN, replace=False)]
        began = time.perf_counter()
        select.select(item_bank=bank, administered_items=given, est_theta=float(chance.normal()))
        took.append(time.perf_counter() - began)
    return median(took)


def everybody(families: Families, theta: np.ndarray, chance) -> np.ndarray:
    """The estimates after 30 items each, all in step."""
    table, people = table_of(families), len(theta)
    log, mean = before_responses(people), np.zeros(people)
    barred = np.zeros((people, len(families.a)), dtype=bool)
    areas, everyone = np.zeros(people, dtype=np.intp), np.arange(people)
    for _ in range(ITEMS):
        asked = next_for_each(table, mean, barred, areas)
        barred[everyone, asked] = True
        p = 1 / (1 + np.exp(-families.a[asked] * (theta - families.b[asked])))
        log, mean, _ = after_responses(log, families, asked, chance.random(people) < p)
    return mean


def all_at_once(chance) -> None:
    families = Families(
        chance.lognormal(0, 0.3, BANK),
        chance.normal(size=BANK),
        np.zeros(BANK),
        np.zeros(BANK, dtype=np.intp),
        np.full(BANK, -1),
    )
    theta, took = chance.normal(size=PEOPLE), []
    for _ in range(3):
        began = time.perf_counter()
        mean = everybody(families, theta, chance)
        took.append(time.perf_counter() - began)
    few = theta[: PEOPLE // 10]
    items = np.column_stack([families.a, families.b, np.zeros(BANK), np.ones(BANK)])
    began = time.perf_counter()
    simulator = Simulator(
        items,
        few,
        FixedPointInitializer(0.0),
        MaxInfoSelector(),
        NumericalSearchEstimator(),
        TestLengthStopper(max_items=ITEMS),
    )
    simulator.simulate()
    theirs = (time.perf_counter() - began) * PEOPLE / len(few)
    off = np.array(simulator.latest_estimations) - few
    print(
        f"{PEOPLE} x {ITEMS} from {BANK}: {median(took):.2f} s, RMSE"
        f" {np.sqrt(np.mean((mean - theta) ** 2)):.3f}; catsim {theirs / median(took):.0f} times as"
        f" long, RMSE {np.sqrt(np.mean(off**2)):.3f}"
    )


def main() -> None:
    chance = np.random.default_rng(7)
    for size in (10_000, 100_000):
        one_step(size, chance)
    all_at_once(chance)


if __name__ == "__main__":
    main()
