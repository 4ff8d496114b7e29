"""Clearance answers a second over HTTP, and their p99, against one indexed SELECT over the same.

Both are a Flask app on the same server (gunicorn, one sync worker) with the same 1,000 people in
SQLite; rounds alternate. A clearance answer looks up its access code, reads what the answer rests
on and weighs it. Prints ratios (1 = as the one SELECT), never a time.

Run: python -m tests.benchmarks.api [requests a round] [rounds]
"""

import itertools
import json
import statistics
import sys
import tempfile
import time
from datetime import date
from http.client import HTTPConnection
from pathlib import Path

from flask import Flask, jsonify
from sqlalchemy import create_engine, text

from tests.benchmarks.answer import started
from tests.benchmarks.server import serve
from tests.support.people import NOW, PASSWORDS, a_person
from trainer.settings import Settings
from trainer.store import people, standings
from trainer.store.base import new_id
from trainer.use_cases import keep_access
from trainer.use_cases.work import Work
from trainer.web.app import create_app

PEOPLE = 1000
MANY = 100
SERVICES = ("consult", "fit", "maintain", "remove", "aftercare")


def fill(folder: Path) -> tuple[str, list[str]]:
    """An organisation of 1,000 who hold a standing each; gives an access code and their ids."""
    work = Work(f"sqlite:///{folder / 'trainer.db'}")
    work.prepare()
    boss = a_person(work, "administrator")
    ids = [new_id() for _ in range(PEOPLE)]
    with work.writing(boss.viewer) as unit:
        for number, one in enumerate(ids):
            email = f"bench{number}@example.org"
            person = people.PersonRow(id=one, name=f"Person {number}", email=email, created_at=NOW)
            unit.session.add(person)
        unit.session.flush()
        for one in ids:
            place = boss.organisation
            row = people.MembershipRow(
                person_id=one, organisation_id=place, roles=["apprentice"], since=NOW
            )
            unit.session.add(row)
            for service in SERVICES:
                standing = standings.StandingRow(
                    person_id=one,
                    method="tape_in",
                    service=service,
                    word="competent",
                    day=date(2027, 3, 3),
                    passed_on=date(2026, 3, 3),
                    as_of=NOW,
                )
                unit.session.add(standing)
        code = keep_access.make(unit, "clearance", "Benchmark", NOW)
    work.close()
    return code, ids


def serve_ours(folder: Path, port: int) -> None:
    work = Work(f"sqlite:///{folder / 'trainer.db'}")
    settings = Settings(folder, secret_key="benchmark", api_calls=10**9)
    serve(create_app(settings, work, PASSWORDS), port)


def serve_one_select(folder: Path, port: int) -> None:
    """The same stack with one statement: a person by key."""
    app, engine = Flask(__name__), create_engine(f"sqlite:///{folder / 'trainer.db'}")
    asked = text("select id, name from persons where id = :id")

    @app.get("/<person>")
    def one(person: str):
        with engine.connect() as connection:
            row = connection.execute(asked, {"id": person}).one()
        return jsonify({"id": row.id, "name": row.name})

    serve(app, port)


def timed(port: int, asks: list, headers: dict) -> list[float]:
    """Seconds of each request, one after the other, each on a connection of its own."""
    found = []
    for address, body in asks:
        began = time.perf_counter()
        connection = HTTPConnection("127.0.0.1", port)
        connection.request("POST" if body else "GET", address, body, headers)
        answer = connection.getresponse()
        said = answer.read()
        connection.close()
        found.append(time.perf_counter() - began)
        assert answer.status == 200, said
    return found


def p99(seconds: list[float]) -> float:
    return sorted(seconds)[int(len(seconds) * 0.99)]


def told(words: str, ratios: list[float]) -> None:
    spread = f"{min(ratios):.2f} to {max(ratios):.2f}"
    print(f"{words}: {statistics.median(ratios):.2f} ({spread})")


def main(requests: int = 500, rounds: int = 5) -> None:
    folder = Path(tempfile.mkdtemp())
    (folder / "keys").mkdir()
    code, ids = fill(folder)
    ours, port = started(["tests.benchmarks.api", "serve", str(folder)])
    bare, bare_port = started(["tests.benchmarks.api", "select", str(folder)])
    sent = {"Authorization": f"Bearer {code}", "Content-Type": "application/json"}
    turn = itertools.cycle(ids)
    question = {"method": "tape_in", "service": "fit", "on": "2026-11-03"}
    asked = "method=tape_in&service=fit&on=2026-11-03"

    def singles():
        some = [f"/api/v1/clearance?person={next(turn)}&{asked}" for _ in range(requests)]
        return timed(port, [(one, None) for one in some], sent)

    def together():
        lots = [[question | {"person": next(turn)} for _ in range(MANY)] for _ in range(20)]
        bodies = [json.dumps({"questions": lot}) for lot in lots]
        return timed(port, [("/api/v1/clearances", body) for body in bodies], sent)

    def selects():
        return timed(bare_port, [(f"/{next(turn)}", None) for _ in range(requests)], {})

    try:
        for warm in (singles, together, selects):
            warm()
        rows = [(singles(), selects(), together()) for _ in range(rounds)]
        mean = statistics.mean
        told("answers a second, of one SELECT's", [mean(s) / mean(o) for o, s, _ in rows])
        told("p99, times one SELECT's", [p99(o) / p99(s) for o, s, _ in rows])
        each = [mean(s) / (mean(m) / MANY) for _, s, m in rows]
        told(f"answers a second, {MANY} in a request, of one SELECT's", each)
    finally:
        ours.terminate()
        bare.terminate()


if __name__ == "__main__":
    if sys.argv[1:2] == ["serve"]:
        serve_ours(Path(sys.argv[2]), int(sys.argv[3]))
    elif sys.argv[1:2] == ["select"]:
        serve_one_select(Path(sys.argv[2]), int(sys.argv[3]))
    else:
        main(*map(int, sys.argv[1:]))
