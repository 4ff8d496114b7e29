"""How many keys does the second reckoning not agree with?

Run: python -m tests.benchmarks.wrong_keys [items] [processes]. Items of all families in turn, at
all levels; each key is reached again from its givens by code that shares nothing with its making.
"""

import os
import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from time import perf_counter

from trainer.core.scenarios.audit import right_texts
from trainer.core.scenarios.case import LEVELS
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.core.scenarios.resolve import resolve
from trainer.use_cases.open_bank import open_bank


def of_family(name: str, count: int) -> tuple[int, list[str], int]:
    """How many items were made, the wrong ones' ids, and how many keys were out of reach."""
    bank, wrong, lost = open_bank(), [], 0
    for seed in range(count):
        item = generate(bank, name, seed, LEVELS[seed % len(LEVELS)])
        reached = resolve(bank, item)
        if reached is None:
            lost += 1
        elif reached != sorted(right_texts(item)):
            wrong.append(item.heading.id)
    return count, wrong, lost


def main(count: int, processes: int) -> int:
    names = [one.id for one in families(open_bank())]
    each = -(-count // len(names))
    began, total, wrong, lost = perf_counter(), 0, [], Counter()
    with ProcessPoolExecutor(processes) as pool:
        for name, found in zip(names, pool.map(of_family, names, repeat(each)), strict=True):
            total += found[0]
            wrong += found[1]
            lost[name.rpartition(".")[0]] += found[2]
            print(f"\r{total} items", end="", file=sys.stderr)
    spent = perf_counter() - began
    print(f"\n{total} items of {len(names)} families in {spent:.0f} s on {processes} processes")
    print(f"wrong keys: {len(wrong)}; keys out of reach: {lost.total()} {dict(+lost) or ''}")
    for name in wrong[:10]:
        print(f"  {name}")
    return 1 if wrong or lost.total() else 0


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]]
    sys.exit(main(*(given + [100_000, os.cpu_count() or 1][len(given) :])))
