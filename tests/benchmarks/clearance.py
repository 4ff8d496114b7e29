"""The desk: answers a second and the slowest in a hundred beside one indexed SELECT through the
same stack, and the team of 5,000 with history and with 100 times it, beside two bare signed-in
pages: the plainest that the site has (one's own), and its frame around nothing, which nobody opens.

Both sides run in one process on one database, in turn; times are the processor's, so others on the
machine count little: ratios of the medians, and of the least times, which they disturb least of
all. Ends with 1 if a goal is missed beside the plainest page.

Run: python -m tests.benchmarks.clearance [people] [requests a round] [rounds]
"""

import gc
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import timedelta
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient
from sqlalchemy import insert, select

from tests.benchmarks.bare_page import BARE, put_bare_page
from tests.support.people import PASSWORDS, Someone, a_person, an_organisation
from trainer import clock
from trainer.core.draw import Draw
from trainer.core.knowledge.words import SERVICES
from trainer.settings import Settings
from trainer.store import competencies, people, practice, records, standings, working_days
from trainer.use_cases.clear_for_service import Ask, answer_many
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.work import Work
from trainer.web.access import who_may
from trainer.web.app import create_app
from trainer.web.house import house, reading
from trainer.web.visitor import CHOSEN

MOST_PAGES = 10
LARGEST = 500_000
HISTORY = 100
BATCH = 20_000
LACKING = 6
"""The place of the method that nobody here can do."""
WORK_DAYS = 0b0111111
PLAIN = "one's own page"
PAGES = {
    "the frame alone": BARE,
    PLAIN: "/me",
    "team": "/team",
    "filtered": "/team?method=tape_in&service=remove&word=competent&ends=60",
    "filtered, nobody fits": "/team?word=withdrawn",
    "by letters": "/team?q=zz",
    "far on": "/team?name=Juno&id=0",
    "table of a method": "/team?view=table&method=tape_in",
    "table of all": "/team?view=table",
    "gaps": "/team/gaps",
}
GIVEN = ("Ada", "Bo", "Cyra", "Dov", "Ebba", "Finn", "Gus", "Hana", "Ivo", "Juno")
Rows = Iterator[dict[str, Any]]


def person_id(number: int) -> str:
    return f"{number:032x}"


def put(work: Work, table: Any, rows: Rows) -> None:
    batch: list[dict[str, Any]] = []
    with work.writing() as unit:
        for row in rows:
            batch.append(row)
            if len(batch) == BATCH:
                unit.connection.execute(insert(table), batch)
                batch = []
        if batch:
            unit.connection.execute(insert(table), batch)


def fill(work: Work, place: str, count: int, methods: Sequence[str]) -> None:
    """People who have begun every method: a third competent, a third on the way, a third over."""
    now, draw = clock.now(), Draw("benchmark", "team")
    names = [f"{draw.one(GIVEN)} {draw.one(GIVEN)}son {n}" for n in range(count)]
    born = {"password_hash": "", "visit": 0, "created_at": now, "spelling": ""}
    put(
        work,
        people.PersonRow.__table__,
        (
            {"id": person_id(n), "name": name, "email": f"b{n}@example.org", **born}
            for n, name in enumerate(names)
        ),
    )
    put(
        work,
        people.MembershipRow.__table__,
        (
            {
                "id": person_id(n),
                "person_id": person_id(n),
                "organisation_id": place,
                "roles": ["apprentice"],
                "since": now,
                "called": name,
            }
            for n, name in enumerate(names)
        ),
    )
    put(work, records.TABLE, record_rows(place, count, methods))
    put(work, standings.TABLE, standing_rows(count, methods))
    put(work, competencies.TABLE, competency_rows(count, methods))
    days = (
        {"organisation_id": place, "person_id": person_id(n), "days": 31 if n % 3 else WORK_DAYS}
        for n in range(count)
    )
    put(work, working_days.WorkingDaysRow.__table__, days)


def word_of(number: int, method: int) -> str:
    """The last method nobody has finished, so that there are gaps."""
    if method == LACKING:
        return ("working_towards", "expired")[number % 2]
    return ("competent", "working_towards", "expired")[(number + method) % 3]


def record_id(number: int, method: int) -> str:
    return f"{number:016x}{method:016x}"


def record_rows(place: str, count: int, methods: Sequence[str]) -> Rows:
    now = clock.now()
    for n in range(count):
        for m, method in enumerate(methods):
            if (word := word_of(n, m)) == "working_towards":
                continue
            until = now + timedelta(days=n % 300 if word == "competent" else -1 - n % 90)
            yield {
                "id": record_id(n, m),
                "person_id": person_id(n),
                "organisation_id": place,
                "method": method,
                "services": ["fit", "maintain", "remove"],
                "valid_from": until - timedelta(days=365),
                "valid_until": until,
                "issued_at": until - timedelta(days=365),
                "basis": f"b{n}-{m}",
                "document": "{}" * 2000,
                "state": "in_force",
                "state_since": until - timedelta(days=365),
                "state_reason": "",
                "issuer": "",
            }


def standing_rows(count: int, methods: Sequence[str]) -> Rows:
    now = clock.now()
    for n in range(count):
        for m, method in enumerate(methods):
            word = word_of(n, m)
            until = (now + timedelta(days=n % 300 if word == "competent" else -1 - n % 90)).date()
            held = word != "working_towards"
            for service in SERVICES:
                yield {
                    "person_id": person_id(n),
                    "method": method,
                    "service": service,
                    "word": word,
                    "day": until if held else None,
                    "record_id": record_id(n, m) if held else None,
                    "passed_on": until - timedelta(days=365) if held or n % 2 else None,
                    "observed_on": None,
                    "as_of": now,
                    "record_from": until - timedelta(days=365) if held else None,
                    "second_on": None,
                }


def competency_rows(count: int, methods: Sequence[str]) -> Rows:
    for n in range(count):
        for method in methods:
            for topic in ("", "timings"):
                known = {"mean": 0.1, "sd": 0.8, "n": 5, "right": 3, "updated_at": clock.now()}
                yield {"person_id": person_id(n), "method": method, "topic": topic, **known}


def answers(work: Work, place: str, count: int, each: int, first: int) -> None:
    """So many answers of each person, from a number on."""
    now = clock.now()
    whose = [(n, number) for n in range(count) for number in range(first, first + each)]
    about = {"organisation_id": place, "method": "tape_in", "topic": "timings", "family": "f"}
    shown = {**about, "kept": {}, "shown_at": now, "content": "", "again": False, "why": ""}
    said = {**about, "response": ["a"], "score": 1.0, "right": True, "critical_error": False}
    said |= {"misconceptions": [], "wrong": [], "answered_at": now}
    keys = [(f"{n:016x}{number:016x}", person_id(n)) for n, number in whose]
    put(
        work,
        practice.ShownItemRow.__table__,
        ({"id": key, "person_id": who, **shown} for key, who in keys),
    )
    put(
        work,
        practice.ResponseRow.__table__,
        ({"item_id": key, "person_id": who, **said} for key, who in keys),
    )


def app_with_yardsticks(settings: Settings, work: Work) -> Any:
    """The site, with its yardsticks: one indexed SELECT, and the frame around nothing."""
    app = create_app(settings, work, PASSWORDS)
    table = people.PERSONS
    one = select(table.c.name).where(table.c.id == person_id(7))

    @app.get("/bench/select")
    @who_may(*ASKERS)
    def bench_select() -> str:
        with reading() as unit:
            return str(unit.connection.execute(one).scalar())

    @app.get("/bench/answer/<int:number>")
    @who_may(*ASKERS)
    def bench_answer(number: int) -> str:
        method = list(house().bank.methods)[number % 7]
        ask = Ask(person_id(number), method, SERVICES[number % 5], clock.today())
        with reading() as unit:
            (found,) = answer_many(unit, house().bank, [ask], 30)
        return found.clearance.answer

    put_bare_page(app)
    return app


def signed_in(app: Any, someone: Someone) -> FlaskClient:
    client = app.test_client()
    with client.session_transaction() as kept:
        kept["_user_id"], kept["_fresh"] = f"{someone.id}:0", True
        kept[CHOSEN] = someone.organisation
    return client


def times(client: FlaskClient, addresses: Sequence[str]) -> list[float]:
    """Seconds of processor time of each request."""
    found = []
    for address in addresses:
        began = time.process_time()
        answer = client.get(address)
        found.append(time.process_time() - began)
        assert answer.status_code == 200, (address, answer.status_code)
    return found


def in_turn(
    client: FlaskClient, sides: dict[str, Callable[[int], str]], requests: int, rounds: int
) -> dict[str, list[float]]:
    """Times of each side, the sides asked in turn; one round to warm up.

    What is loaded is taken from the collector, as `trainer serve` does.
    """
    found: dict[str, list[float]] = {name: [] for name in sides}
    for turn in range(rounds + 1):
        for name, address in sides.items():
            took = times(client, [address(turn * requests + n) for n in range(requests)])
            if turn:
                found[name] += took
        gc.freeze()
    return found


def p99(took: list[float]) -> float:
    return statistics.quantiles(took, n=100)[98]


def ratio(found: dict[str, list[float]], one: str, other: str) -> float:
    return statistics.median(found[one]) / statistics.median(found[other])


def clearance(client: FlaskClient, count: int, requests: int, rounds: int) -> None:
    today = clock.today().isoformat()
    sides: dict[str, Callable[[int], str]] = {
        "one SELECT": lambda _: "/bench/select",
        "answer": lambda n: f"/bench/answer/{n * 37 % count}",
        "answer as a page": lambda n: (
            f"/clearance?person={person_id(n * 37 % count)}&method=tape_in&service=fit&on={today}"
        ),
        "all of one person": lambda n: f"/clearance?person={person_id(n * 37 % count)}",
        "two letters": lambda n: f"/clearance?q={('ad', 'bo', 'ev', 'iv')[n % 4]}&part=people",
    }
    found = in_turn(client, sides, requests, rounds)
    base = found["one SELECT"]
    for name, took in found.items():
        rate = 1 / statistics.median(took)
        told = f"{rate:7.0f} a second of one processor"
        slow = f"p99 {p99(took) / p99(base):5.2f} x"
        print(f"{name:22} {told}  {ratio(found, name, 'one SELECT'):5.2f} x  {slow} of one SELECT")


def team(client: FlaskClient, requests: int, rounds: int) -> tuple[float, int, float]:
    """The dearest page of the team beside the plain one, the most bytes, the first one's time."""
    sides = {name: (lambda _, address=address: address) for name, address in PAGES.items()}
    began = time.process_time()
    client.get("/team")
    counted = time.process_time() - began
    found = in_turn(client, sides, requests, rounds)
    plain, sizes = statistics.median(found[PLAIN]), []
    for name in sides:
        size = len(client.get(sides[name](0)).data)
        sizes.append(size)
        told = f"{ratio(found, name, PLAIN):6.2f} x {PLAIN}"
        least = f"least {min(found[name]) / min(found[PLAIN]):6.2f} x"
        slow = f"p99 {p99(found[name]) / plain:6.2f} x"
        frame = f"{ratio(found, name, 'the frame alone'):6.2f} x the frame"
        print(f"{name:22} {told}  {least}  {slow}  {frame}  {size / 1000:6.1f} KB")
    print(f"{'counting the house':22} {counted / plain:6.0f} x {PLAIN}, once in ten minutes")
    dearest = max(ratio(found, name, PLAIN) for name in sides)
    return dearest, max(sizes), statistics.median(found["team"])


def main(count: int = 5000, requests: int = 20, rounds: int = 5) -> int:
    folder = Path(tempfile.mkdtemp())
    work = Work(f"sqlite:///{folder / 'trainer.db'}")
    work.prepare()
    place = an_organisation(work, "Fig Lane", "salon")
    desk = a_person(work, "salon_manager", organisation=place)
    fill(work, place, count, list(open_bank().methods))
    answers(work, place, count, 1, 0)
    client = signed_in(app_with_yardsticks(Settings(folder, secret_key="benchmark"), work), desk)
    print(f"{count} people, 7 methods, 5 services")
    clearance(client, count, requests, rounds)
    print("\nwith a little history")
    little, least, before = team(client, requests, rounds)
    answers(work, place, count, HISTORY - 1, 1)
    print(f"\nwith {HISTORY} times the history")
    much, most, after = team(client, requests, rounds)
    clearance(client, count, requests, rounds)
    work.close()
    print(f"\n{HISTORY} times the history: the team's page takes {after / before:.2f} x the time")
    return int(max(little, much) > MOST_PAGES or max(least, most) > LARGEST)


if __name__ == "__main__":
    sys.exit(main(*(int(one) for one in sys.argv[1:])))
