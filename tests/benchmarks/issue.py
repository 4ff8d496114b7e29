"""A thousand records issued as the site issues them, and what the log's signed head costs.

Run: python -m tests.benchmarks.issue [records]. Evidence is given instead of sat through; all else
is the site's own: database, signature, place on the status list, standing, log, signed head.
"""

import sys
import tempfile
import time
from pathlib import Path

from tests.support.people import NOW, a_person
from tests.support.records import Earned, evidence
from trainer.use_cases import certify, withdraw
from trainer.use_cases.certify import Issuing
from trainer.use_cases.keep_log import check_sealed, log
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.work import Work

METHODS = ("tape_in", "fusion_bond", "micro_link", "beaded_row", "sewn_weft")
EVENTS = 300


def issue(work: Work, folder: Path, count: int) -> float:
    """Seconds of the processor for `count` records, one commit each."""
    bank, issuing = open_bank(), Issuing(folder / "keys", "https://quayside.example")
    people = [a_person(work) for _ in range(-(-count // len(METHODS)))]
    earned = Earned({(p.id, m): evidence(f"s-{p.id}-{m}") for p in people for m in METHODS})
    for module in (certify, withdraw):
        module.gather = earned.gather
    start, done = time.process_time(), 0
    for someone in people:
        for method in METHODS[: count - done]:
            with work.writing(someone.viewer) as unit:
                place = someone.organisation
                certify.consider(unit, bank, someone.id, place, method, issuing, NOW)
            done += 1
    return time.process_time() - start


def logged(work: Work) -> float:
    """Milliseconds of the clock for one event with its commit, median of many."""
    taken = []
    for number in range(EVENTS):
        start = time.perf_counter()
        with work.writing() as unit:
            log(unit, "test.event", {"number": number}, NOW)
        taken.append(time.perf_counter() - start)
    return 1000 * sorted(taken)[EVENTS // 2]


def main(count: int) -> int:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        work = Work(f"sqlite:///{folder / 'trainer.db'}", folder)
        work.prepare()
        took = issue(work, folder, count)
        print(
            f"{count} records issued in {took:.1f} s of the processor ({count / took:.0f} a second)"
        )
        sealed = logged(work)
        start = time.process_time()
        with work.snapshot() as unit:
            found = check_sealed(unit, work.seal)
        spent = time.process_time() - start
        print(f"log of {found.events} events checked in {spent:.2f} s: {len(found.breaks)} breaks")
        work.close()
        bare = Work(f"sqlite:///{folder / 'bare.db'}")
        bare.prepare()
        plain = logged(bare)
        bare.close()
    print(f"an event with its commit: {sealed:.1f} ms with the signed head, {plain:.1f} without")
    return int(bool(found.breaks))


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000))
