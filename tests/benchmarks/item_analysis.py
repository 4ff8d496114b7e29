"""Item analysis of a large table: ours beside one table at a time by a library.

    python -m tests.benchmarks.item_analysis

Prints how many times as long the library takes for the Mantel-Haenszel tables of the same items,
how our own parts compare with one pass over the marks, and what matching on ability takes, where
each person answered few of the families: 100,000 answers, beside a sort of them.
"""

from time import perf_counter

import numpy as np
from statsmodels.stats.contingency_tables import StratifiedTable

from tests.support.chance import many
from trainer.core.measurement.analysis.classical import point_biserials
from trainer.core.measurement.analysis.differences import differences, purified
from trainer.core.measurement.analysis.logistic import logistic_differences
from trainer.core.measurement.analysis.matched import Given, matched_differences
from trainer.core.measurement.analysis.reliability import reliability

PEOPLE, ITEMS, BY_LIBRARY = 20_000, 100, 5
FEW = 5
"""Answers of each person in the sparse table."""


def took(act):
    """The best of three, in seconds."""
    times = []
    for _ in range(3):
        start = perf_counter()
        act()
        times.append(perf_counter() - start)
    return min(times)


def by_library(marks, focal):
    total = marks.sum(axis=1)
    for item in range(BY_LIBRARY):
        tables = []
        for score in np.unique(total):
            here = total == score
            tables.append(
                [
                    [(here & (focal == g) & (marks[:, item] == m)).sum() for m in (1, 0)]
                    for g in (0, 1)
                ]
            )
        kept = [np.array(one, float) for one in tables if np.sum(one) > 1]
        table = StratifiedTable(kept)
        _ = table.oddsratio_pooled, table.test_null_odds(correction=True)


def few_each(marks):
    """The marks of a few items for each person."""
    family = np.concatenate([many(seat).permutation(ITEMS)[:FEW] for seat in range(PEOPLE)])
    person = np.repeat(np.arange(PEOPLE), FEW)
    one = np.ones(len(person))
    return Given(person, family, marks[person, family] == 1, one, 0 * one, 0 * one)


def main():
    chance = many(1)
    ability = chance.normal(size=(PEOPLE, 1))
    marks = (chance.random((PEOPLE, ITEMS)) < 1 / (1 + np.exp(-ability))).astype(float)
    focal = chance.random(PEOPLE) < 0.5
    one_pass = took(lambda: marks.sum(axis=1))
    ours = took(lambda: differences(marks, focal))
    print(f"{PEOPLE:,} people, {ITEMS} items; one pass over the marks = 1")
    for name, act in (
        ("reliability", lambda: reliability(marks)),
        ("point-biserials", lambda: point_biserials(marks)),
        ("Mantel-Haenszel", lambda: differences(marks, focal)),
        ("Mantel-Haenszel, purified", lambda: purified(marks, focal)),
        ("logistic", lambda: logistic_differences(marks, focal)),
    ):
        print(f"  {name}: {took(act) / one_pass:.1f}")
    theirs = took(lambda: by_library(marks, focal)) * ITEMS / BY_LIBRARY
    sparse = few_each(marks)
    beside = took(lambda: np.argsort(sparse.person * ITEMS + sparse.family, kind="stable"))
    matched = took(lambda: matched_differences(sparse, focal))
    print(f"{len(sparse.person):,} answers matched on ability; a sort of them = 1")
    print(f"  Mantel-Haenszel, purified: {matched / beside:.1f}")
    print(f"statsmodels, table by table: {theirs / ours:.0f} times as long as Mantel-Haenszel here")


if __name__ == "__main__":
    main()
