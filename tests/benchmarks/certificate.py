"""How long a certificate takes, first and after warm-up, each with another name and number.

Run: python -m tests.benchmarks.certificate [count]. Ends with 1 if the goal of 25 ms is missed by
processor time; the clock's time is printed beside it, since the machine may be shared.
"""

import json
import sys
import time
from dataclasses import replace
from datetime import UTC, datetime
from statistics import median

from tests.core.records.example import signed_record
from trainer.core.records.certificate import Certificate, draw

GOAL = 25
ONE = Certificate(
    name="Ines Dorval",
    issuer="Quayside Academy",
    attests="passed the assessment and showed at the chair how to fit, maintain and remove "
    "Tape-in extensions.",
    rows=[
        ("In force", "2 March 2026 to 2 March 2027"),
        ("Assessment score", "35 of 40; 31 needed"),
        ("Probability that the decision is right", "0.97"),
        *(
            (f"Observed: {one}", "Watched at the chair and signed off by Petra Lindqvist.")
            for one in ("fit", "maintain", "remove")
        ),
    ],
    address="https://quayside.example/check/0b7e6a527a0c4d3e9d0e1f6f5a4b3c2d",
    made=datetime(2026, 3, 2, 9, 30, tzinfo=UTC),
    record=json.dumps(signed_record()),
)


def taken(number: int) -> tuple[float, float]:
    """Milliseconds of the clock and of the processor for one certificate."""
    clock, spent = time.perf_counter(), time.process_time()
    draw(replace(ONE, name=f"{ONE.name} {number}", address=f"{ONE.address[:-4]}{number:04d}"))
    return 1000 * (time.perf_counter() - clock), 1000 * (time.process_time() - spent)


def main(count: int) -> int:
    first, _ = taken(0)
    clock, spent = zip(*(taken(number) for number in range(1, count + 1)), strict=True)
    print(f"first in a process: {first:.0f} ms")
    print(f"then, median of {count}: {median(clock):.1f} ms, fastest {min(clock):.1f} ms")
    print(f"processor time, median: {median(spent):.1f} ms (goal {GOAL} ms)")
    return int(median(spent) > GOAL)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 100))
