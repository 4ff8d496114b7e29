"""The one way out: what it opens, how much it takes, how long it waits."""

import socket
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from trainer.use_cases import fetch_outside
from trainer.use_cases.fetch_outside import Door
from trainer.use_cases.refusals import InputProblem

DRIPS = 600
"""One each tenth of a second."""


class Diary(BaseHTTPRequestHandler):
    """A small outside: files, ways on, and bad manners."""

    seen = []
    dripped = 0
    enough = threading.Event()

    def do_GET(self):
        self.seen.append((self.path, self.headers["Host"]))
        kind, _, rest = self.path[1:].partition("/")
        getattr(self, f"_{kind}", self._file)(rest)

    def _file(self, _):
        self._answer(200, b"BEGIN:VCALENDAR", {"Content-Type": "text/calendar; charset=utf-8"})

    def _on(self, rest):
        self._answer(302, b"", {"Location": rest})

    def _gone(self, _):
        self._answer(404, b"no")

    def _packed(self, _):
        self._answer(200, b"x", {"Content-Encoding": "gzip"})

    def _large(self, _):
        self._answer(200, b"x" * 2000)

    def _slow(self, _):
        """For a minute, or until it is enough."""
        self.send_response(200)
        self.end_headers()
        while Diary.dripped < DRIPS and not self.enough.wait(0.1):
            try:
                self.wfile.write(b"x")
                self.wfile.flush()
            except OSError:
                return
            Diary.dripped += 1

    def _answer(self, code, body, headers=()):
        self.send_response(code)
        for name, value in dict(headers).items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_):
        pass


@pytest.fixture
def outside():
    """A server of this machine, and the door by which a test may reach it."""
    Diary.seen, Diary.dripped = [], 0
    Diary.enough.clear()
    server = ThreadingHTTPServer(("127.0.0.1", 0), Diary)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://diary.example:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()


def door(**more):
    given = {"ports": (), "allowed": lambda _: True, "look_up": lambda *_: ["127.0.0.1"]}
    return Door(**{"seconds": 60.0, **given, **more})


def test_a_file_comes_from_the_address_that_was_checked_under_its_own_name(outside):
    found = door().fetch(f"{outside}/a.ics?k=1")
    assert (found.content, found.kind) == (b"BEGIN:VCALENDAR", "text/calendar")
    assert Diary.seen == [("/a.ics?k=1", outside.removeprefix("http://"))]


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("/gone", "answered with '404'"),
        ("/packed", "packed"),
        ("/large", "larger than"),
        ("/on/ftp://x.example/", "no web address"),
        ("/on/", "too often"),
        ("/on//on/", "too often|name or password|not an address|no web address"),
    ],
)
def test_what_is_not_a_file_says_so(outside, path, said):
    with pytest.raises(InputProblem, match=said):
        door(largest=1000).fetch(outside + path)


def test_a_way_on_is_followed_and_checked_anew(outside):
    assert door().fetch(f"{outside}/on//file").content == b"BEGIN:VCALENDAR"
    allowed = iter([True, False])
    with pytest.raises(InputProblem, match="private network"):
        door(allowed=lambda _: next(allowed)).fetch(f"{outside}/on//file")
    assert [path for path, _ in Diary.seen].count("/file") == 1


def test_whoever_drips_is_cut_off(outside):
    with pytest.raises(InputProblem, match="too long"):
        door(seconds=0.5).fetch(f"{outside}/slow")
    assert Diary.dripped < DRIPS, "not only when it was over anyway"


@pytest.fixture
def stuck():
    """A look-up that nobody answers until the test is over."""
    over = threading.Event()

    def look_up(*_):
        assert over.wait(60), "somebody waited for it"
        return ["127.0.0.1"]

    yield look_up
    over.set()


def test_a_name_that_nobody_answers_for_is_given_up(outside, stuck):
    with pytest.raises(InputProblem, match="too long"):
        door(seconds=0.2, look_up=stuck).fetch(f"{outside}/file")
    assert Diary.seen == []


def test_time_spent_on_the_name_is_gone_for_the_rest(outside, monkeypatch):
    """The clock of the door is turned by hand: looking up takes fifty of its eighty seconds."""
    now, given = [0.0], []
    monkeypatch.setattr(fetch_outside, "monotonic", lambda: now[0])
    made = fetch_outside._connection
    monkeypatch.setattr(
        fetch_outside, "_connection", lambda *args: given.append(args[2]) or made(*args)
    )

    def late(*_):
        now[0] += 50
        return ["127.0.0.1"]

    assert door(seconds=80, look_up=late).fetch(f"{outside}/file").content
    with pytest.raises(InputProblem, match="too long"):
        door(seconds=80, look_up=late).fetch(f"{outside}/on//file")
    assert given == [30, 30]


def test_look_ups_left_behind_cannot_pile_up(outside, stuck, monkeypatch):
    monkeypatch.setattr(fetch_outside, "LOOK_UPS", threading.BoundedSemaphore(2))
    for said in ("too long", "too long", "Too much"):
        with pytest.raises(InputProblem, match=said):
            door(seconds=0.1, look_up=stuck).fetch(f"{outside}/file")


def test_what_goes_wrong_in_a_look_up_is_told(monkeypatch):
    def nowhere(*_, **__):
        raise socket.gaierror(socket.EAI_NONAME, "Name or service not known")

    monkeypatch.setattr(socket, "getaddrinfo", nowhere)
    with pytest.raises(InputProblem, match="no such place"):
        Door().fetch("https://no-such-place.invalid/")


@pytest.mark.parametrize(
    "found",
    [["127.0.0.1"], ["93.184.215.14", "10.0.0.1"], ["::1"], ["::ffff:127.0.0.1"], []],
)
def test_a_name_with_any_closed_address_is_not_opened(outside, found):
    with pytest.raises(InputProblem, match="private network"):
        Door(ports=(), look_up=lambda *_: found).fetch(outside)
    assert Diary.seen == []


@pytest.mark.parametrize("address", ["http://localhost/", "http://127.0.0.1/", "http://[::1]/"])
def test_this_machine_is_not_opened_by_any_of_its_names(address):
    with pytest.raises(InputProblem, match="private network"):
        Door().fetch(address)


def test_a_name_is_looked_up_once_so_a_second_answer_cannot_slip_in(outside):
    asked = []

    def look_up(*place):
        asked.append(place)
        return ["127.0.0.1"]

    door(look_up=look_up).fetch(f"{outside}/file")
    assert len(asked) == 1


def test_a_certificate_that_nobody_vouches_for_is_refused(outside):
    with pytest.raises(InputProblem, match="cannot be reached|certificate"):
        door().fetch(outside.replace("http:", "https:"))


def test_nobody_listening_says_so():
    with socket.socket() as taken:  # but it does not listen
        taken.bind(("127.0.0.1", 0))
        with pytest.raises(InputProblem, match="cannot be reached"):
            door().fetch(f"http://diary.example:{taken.getsockname()[1]}/")


@contextmanager
def busy(outside, count):
    """So many are being fetched at once."""
    with ThreadPoolExecutor(count) as crowd:
        fetched = [crowd.submit(door().fetch, f"{outside}/slow") for _ in range(count)]
        while len(Diary.seen) < count and not any(one.done() for one in fetched):
            time.sleep(0.01)
        try:
            yield
        finally:
            Diary.enough.set()


def test_only_a_few_are_fetched_at_once(outside):
    with busy(outside, 4), pytest.raises(InputProblem, match="Too much"):
        door().fetch(f"{outside}/file")
    assert door().fetch(f"{outside}/file").content
