"""How long it takes to take a roster of 1,000 people, each with a role and a place in a group.

Prints ratios of processor times: taking against looking at the same file, taking it again (nothing
changes), and four times as many people (4 where the work of one does not grow with the others).

Run: python -m tests.benchmarks.roster [people]
"""

import sys
import tempfile
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from tests.support.people import NOW, a_person
from tests.support.rosters import an_academy, enrolment, group, role, user
from trainer.settings import Settings
from trainer.use_cases import take_roster
from trainer.use_cases.work import Work

GROUPS = 20
LASTS = timedelta(days=7)


def roster(people: int) -> bytes:
    """A whole set of so many people."""
    numbers = range(1, people + 1)
    return an_academy(
        [user(n) for n in numbers],
        [role(n) for n in numbers],
        courses=[{"sourcedId": "k1", "title": "Hair", "orgSourcedId": "o1"}],
        academicSessions=[
            {"sourcedId": "t1", "title": "2026", "type": "schoolYear", "schoolYear": "2026"}
            | {"startDate": "2026-01-01", "endDate": "2026-12-31"}
        ],
        classes=[group(f"Group {n}", n) for n in range(GROUPS)],
        enrollments=[enrolment(n, f"c{n % GROUPS}") for n in numbers],
    )


def spent(do: Callable[[], object]) -> float:
    """Seconds of processor."""
    began = time.process_time()
    do()
    return time.process_time() - began


def measured(people: int) -> tuple[float, float, float]:
    """Seconds for a look, for taking, for taking again; each on a site of its own."""
    settings = Settings(Path(tempfile.mkdtemp()), secret_key="benchmark")
    work, content = Work(settings.database), roster(people)
    work.prepare()
    viewer = a_person(work, "administrator").viewer

    def look() -> None:
        with work.reading(viewer) as unit:
            assert not take_roster.look(unit, content, NOW).faults

    def take() -> None:
        with work.writing(viewer) as unit:
            take_roster.take(unit, content, LASTS, NOW)

    found = (spent(look), spent(take), spent(take))
    work.close()
    return found


def main(people: int = 1000) -> None:
    measured(20)  # statements are built once
    look, first, again = measured(people)
    more = measured(4 * people)[1]
    print(f"{people} people: taking is {first / look:.1f} looks, taking again {again / look:.1f}")
    print(f"{4 * people} people: {more / first:.1f} times that")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
