"""How many 'answer and see the reason' requests a second, against the smallest app of that shape.

Both run on the same server (gunicorn, one sync worker; `trainer serve --workers` has several),
with their own database; rounds alternate. Prints the ratio of rates (1 = as fast as the
smallest app), never a time.

Run: python -m tests.benchmarks.answer [requests a round] [rounds]
"""

import re
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlencode

from tests.benchmarks.server import serve
from tests.support.people import NOW, PASSWORD, PASSWORDS, a_person
from tests.support.plain_bank import METHOD, answer_to, plain_bank
from trainer.core.items.codec import as_kept
from trainer.core.scenarios.generate import generate
from trainer.settings import Settings
from trainer.store import practice
from trainer.use_cases.work import Work
from trainer.web import app as web_app

TOPIC = "removal_safety"
FAMILY = f"{TOPIC}_choose_one.{METHOD}"
FORM = {"Content-Type": "application/x-www-form-urlencoded"}
Sent = tuple[str, dict]
PEOPLE = 4


@dataclass
class Target:
    """A running app and what is still to be sent to it."""

    port: int
    left: Iterator[Sent]
    cookie: str = ""

    def ask(self, address: str, body: dict | None = None, code: int = 200) -> str:
        """One request; keeps the cookie that it sets."""
        connection = HTTPConnection("127.0.0.1", self.port)
        self._send(connection, address, body)
        answer = connection.getresponse()
        text = answer.read().decode()
        assert answer.status == code, (address, answer.status, text[:500])
        if answer.headers["Set-Cookie"]:
            self.cookie = answer.headers["Set-Cookie"].split(";")[0]
        return text

    def rate(self, requests: int) -> float:
        """Answers a second with as many people at once as the server has threads."""
        rows = [next(self.left) for _ in range(requests)]
        began = time.perf_counter()
        with ThreadPoolExecutor(PEOPLE) as pool:
            for _ in pool.map(self._one, rows):
                pass
        return requests / (time.perf_counter() - began)

    def _one(self, sent: Sent) -> None:
        """A connection each: between two answers people read, and theirs is closed."""
        connection = HTTPConnection("127.0.0.1", self.port)
        self._send(connection, *sent)
        answer = connection.getresponse()
        answer.read()
        connection.close()
        assert answer.status == 200

    def _send(self, connection: HTTPConnection, address: str, body: dict | None) -> None:
        method = "GET" if body is None else "POST"
        sent = None if body is None else urlencode(body, doseq=True)
        connection.request(method, address, sent, FORM | {"Cookie": self.cookie})


def serve_ours(folder: Path, port: int) -> None:
    web_app.open_bank = plain_bank
    work = Work(f"sqlite:///{folder / 'trainer.db'}")
    app = web_app.create_app(Settings(folder, secret_key="benchmark"), work, PASSWORDS)
    serve(app, port)


def fill(folder: Path, count: int) -> tuple[str, list[Sent]]:
    """A database with one apprentice and scenarios to answer, a third of them wrongly."""
    bank, work = plain_bank(), Work(f"sqlite:///{folder / 'trainer.db'}")
    work.prepare()
    someone, sent = a_person(work), []
    with work.writing(someone.viewer) as unit:
        for seed in range(count):
            item_id, kept = f"{seed:032x}", as_kept(generate(bank, FAMILY, seed))
            row = {"id": item_id, "method": METHOD, "topic": TOPIC, "family": FAMILY}
            row |= {"person_id": someone.id, "organisation_id": someone.organisation}
            practice.show(unit, row | {"kept": kept, "shown_at": NOW})
            body = answer_to(kept, right=seed % 3 > 0)
            sent.append((f"/practice/item/{item_id}", body))
    work.close()
    return someone.email, sent


def started(command: list[str]) -> tuple[subprocess.Popen, int]:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port = found.getsockname()[1]
    process = subprocess.Popen([sys.executable, "-m", *command, str(port)])
    for _ in range(200):
        try:
            socket.create_connection(("127.0.0.1", port)).close()
            return process, port
        except ConnectionError:
            time.sleep(0.1)
    raise TimeoutError(command)


def token(page: str) -> str:
    """The token of a page's form."""
    return re.search(r'name="csrf_token"[^>]*value="([^"]+)"', page).group(1)


def sign_in(target: Target, email: str, sent: list[Sent]) -> None:
    """Sign in as people do, and put the page's token into what will be sent."""
    given = {"email": email, "password": PASSWORD, "csrf_token": token(target.ask("/sign-in"))}
    target.ask("/sign-in", given, code=302)
    kept = token(target.ask("/practice"))
    target.left = iter([(address, body | {"csrf_token": kept}) for address, body in sent])


def smallest(port: int, with_a_page: bool) -> Target:
    """The smallest app, signed in; with or without a token and a page."""
    target = Target(port, iter(()))
    page = target.ask("/sign-in")
    body = {"choice": "a"} | ({"csrf_token": token(page)} if with_a_page else {})
    target.left = ((f"/answer/{n}", body) for n in range(10**9))
    return target


def main(requests: int = 300, rounds: int = 5) -> None:
    folder = Path(tempfile.mkdtemp())
    email, sent = fill(folder, requests * (rounds + 1))
    ours, our_port = started(["tests.benchmarks.answer", "serve", str(folder)])
    others = [
        started(["tests.benchmarks.smallest_app", str(folder / name)])
        for name in ("small.db", "small.page.db")
    ]
    try:
        target = Target(our_port, iter(()))
        sign_in(target, email, sent)
        bare, paged = (smallest(port, n > 0) for n, (_, port) in enumerate(others))
        for one in (bare, paged, target):
            one.rate(requests)
        rows = [
            (bare.rate(requests), paged.rate(requests), target.rate(requests))
            for _ in range(rounds)
        ]
        for words, place in (("bare", 0), ("with a form token and a page", 1)):
            ratios = [row[2] / row[place] for row in rows]
            spread = f"{min(ratios):.2f} to {max(ratios):.2f}"
            print(f"{statistics.median(ratios):.2f} of the smallest app's rate, {words} ({spread})")
    finally:
        for process, _ in ((ours, 0), *others):
            process.terminate()


if __name__ == "__main__":
    if sys.argv[1:2] == ["serve"]:
        serve_ours(Path(sys.argv[2]), int(sys.argv[3]))
    else:
        main(*map(int, sys.argv[1:]))
