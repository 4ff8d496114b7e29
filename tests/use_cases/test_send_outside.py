"""Sending through the door that fetching uses: same checks, nothing follows where it is sent on."""

import threading
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest

from trainer.use_cases.fetch_outside import Door
from trainer.use_cases.refusals import InputProblem


@pytest.fixture
def outside():
    """A server on this machine that notes what it is sent: (address, what it got, its answer)."""
    got, answer = [], {"status": 200}

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self):
            body = self.rfile.read(int(self.headers["Content-Length"]))
            got.append((self.path, body, dict(self.headers)))
            self.send_response(answer["status"])
            self.send_header("Location", "/elsewhere")
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_):
            pass

    server = HTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/xapi/statements", got, answer
    server.shutdown()
    server.server_close()
    thread.join(5)


OPEN = Door(ports=(), allowed=lambda _: True, seconds=60)


def test_what_is_sent_arrives_with_its_headers(outside):
    address, got, _ = outside
    headers = {"Content-Type": "application/json", "X-Experience-API-Version": "2.0.0"}
    assert OPEN.send(address, b"[1]", headers) == 200
    (path, body, said), *_ = got
    assert (path, body) == ("/xapi/statements", b"[1]")
    assert headers.items() <= said.items()


@pytest.mark.parametrize("status", [307, 401, 503])
def test_the_status_is_given_and_nothing_follows(outside, status):
    address, got, answer = outside
    answer["status"] = status
    assert OPEN.send(address, b"[]", {}) == status
    assert len(got) == 1


def test_a_private_network_is_not_opened(outside):
    address, got, _ = outside
    with pytest.raises(InputProblem, match="private network"):
        Door(ports=()).send(address, b"[]", {})
    assert got == []
