"""Fetch one file from an address that a person gave: the only place that opens the network.

Nothing is fetched unless somebody presses a button, and nothing is sent unless an administrator has
named where to. The name is looked up once, every network address it stands for must be public, and
the connection goes to the very address that was checked (a second look-up could give another).
Where it is sent on, the next address is checked anew. Size, time (of the look-up too) and steps are
bounded; nothing is unpacked.
"""

import socket
import ssl
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from http.client import HTTPException
from time import monotonic

from urllib3.connection import HTTPConnection, HTTPSConnection
from urllib3.exceptions import HTTPError
from urllib3.response import BaseHTTPResponse

from trainer.core.exchange.outside_address import (
    PORTS,
    WHERE,
    Address,
    is_public,
    onward,
    read_address,
)
from trainer.use_cases.in_time import in_time
from trainer.use_cases.refusals import InputProblem

CHUNK = 16 * 1024
SENT_ON = (301, 302, 303, 307, 308)
AT_ONCE = threading.BoundedSemaphore(4)
LOOK_UPS = threading.BoundedSemaphore(16)
"""One that was left behind counts until the system gives it up, so that they cannot pile up."""
FILE_INSTEAD = "Save the file yourself and give it here instead."


@dataclass(frozen=True)
class Fetched:
    """What an address gave: its bytes, what kind it says they are, and where it came from."""

    content: bytes
    kind: str
    address: Address


@dataclass(frozen=True)
class Sending:
    """What is sent with a request."""

    verb: str = "GET"
    body: bytes | None = None
    headers: Mapping[str, str] = field(default_factory=dict)


ASKING = Sending()


def looked_up(host: str, port: int) -> Sequence[str]:
    """Every network address that a name stands for."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):
        raise InputProblem("There is no such place", WHERE, "Check the address.") from None
    return list(dict.fromkeys(str(one[4][0]) for one in found))


@dataclass(frozen=True)
class Door:
    """How the outside is reached: bytes at most, seconds at most in all, steps sent on at most."""

    largest: int = 1_000_000
    seconds: float = 8.0
    steps: int = 3
    ports: tuple[int, ...] = PORTS
    allowed: Callable[[str], bool] = is_public
    look_up: Callable[[str, int], Sequence[str]] = looked_up

    def fetch(self, text: str, largest: int = 0) -> Fetched:
        """Fetch what an address holds; `largest`: bytes at most, where it is not the usual.

        Raises InputProblem that says what went wrong.
        """
        address, until = read_address(text, self.ports), monotonic() + self.seconds
        with _one_of(AT_ONCE):
            return self._fetch(address, until, largest or self.largest)

    def send(self, text: str, body: bytes, headers: Mapping[str, str]) -> int:
        """Send something to an address; gives the status it answers with.

        Where it would send us on, nothing follows. Raises InputProblem that says what went wrong.
        """
        address, sending = read_address(text, self.ports), Sending("POST", body, headers)
        with (
            _one_of(AT_ONCE),
            self._answer(address, monotonic() + self.seconds, sending) as answer,
        ):
            return answer.status

    def _fetch(self, address: Address, until: float, largest: int) -> Fetched:
        for _ in range(self.steps + 1):
            with self._answer(address, until) as answer:
                if answer.status not in SENT_ON:
                    return Fetched(_content(answer, largest), _kind(answer), address)
                location = answer.headers.get("Location", "")
            address = onward(address, location, self.ports)
        raise InputProblem("It sends us on too often", WHERE, FILE_INSTEAD)

    @contextmanager
    def _answer(
        self, address: Address, until: float, sending: Sending = ASKING
    ) -> Iterator[BaseHTTPResponse]:
        """The head of an answer; whatever is still open when time is up is cut off."""
        network_address = self._checked(address, until)
        left = _left(until)
        late, sockets = threading.Event(), list[socket.socket]()
        with closing(_connection(address, network_address, left)) as connection:
            cutter = threading.Timer(left, _cut, (connection, sockets, late))
            cutter.daemon = True
            cutter.start()
            try:
                connection.connect()
                sockets.append(connection.sock)  # an answer takes it from the connection
                yield _asked(connection, address, sending)
                if late.is_set():  # a file cut off looks like one that ended
                    raise _too_slow()
            except (HTTPError, HTTPException, OSError) as problem:
                raise (_too_slow() if late.is_set() else _unreachable(problem)) from None
            finally:
                cutter.cancel()

    def _checked(self, address: Address, until: float) -> str:
        """One network address of a name, once all of them may be opened."""
        try:
            found = in_time(lambda: self._looked_up(address), _left(until))
        except TimeoutError:
            raise _too_slow() from None
        if not found or not all(self.allowed(one) for one in found):
            raise InputProblem(
                "This address lies in a private network, where we do not look", WHERE, FILE_INSTEAD
            )
        return found[0]

    def _looked_up(self, address: Address) -> Sequence[str]:
        with _one_of(LOOK_UPS):
            return self.look_up(address.host, address.port)


@contextmanager
def _one_of(few: threading.BoundedSemaphore) -> Iterator[None]:
    if not few.acquire(blocking=False):
        raise InputProblem("Too much is being fetched or sent", WHERE, "Try again in a minute.")
    try:
        yield
    finally:
        few.release()


def _left(until: float) -> float:
    left = until - monotonic()
    if left <= 0:
        raise _too_slow()
    return left


def _connection(address: Address, network_address: str, seconds: float) -> HTTPConnection:
    if address.scheme == "http":
        return HTTPConnection(network_address, address.port, timeout=seconds)
    return HTTPSConnection(
        network_address,
        address.port,
        timeout=seconds,
        cert_reqs=ssl.CERT_REQUIRED,
        ssl_minimum_version=ssl.TLSVersion.TLSv1_2,
        server_hostname=address.host,
        assert_hostname=address.host,
    )


def _asked(connection: HTTPConnection, address: Address, sending: Sending) -> BaseHTTPResponse:
    host = address.url.split("/")[2]
    headers = {
        "Host": host,
        "Accept-Encoding": "identity",
        "User-Agent": "Trainer",
        "Accept": "*/*",
    }
    headers |= sending.headers
    connection.request(sending.verb, address.rest, sending.body, headers, preload_content=False)
    return connection.getresponse()


def _cut(
    connection: HTTPConnection, sockets: Sequence[socket.socket], late: threading.Event
) -> None:
    late.set()
    with suppress(OSError, AttributeError):  # not connected yet, or closed already
        (sockets[0] if sockets else connection.sock).shutdown(socket.SHUT_RDWR)


def _content(answer: BaseHTTPResponse, largest: int) -> bytes:
    if answer.status != 200:
        said = f"The address answered with '{answer.status}'"
        raise InputProblem(said, WHERE, "Check that it still holds the file.")
    if answer.headers.get("Content-Encoding", "identity").strip().casefold() != "identity":
        raise InputProblem("The answer is packed, which we do not open", WHERE, FILE_INSTEAD)
    found = bytearray()
    while part := answer.read1(CHUNK):
        found += part
        if len(found) > largest:
            said = f"The file is larger than {largest:,} bytes"
            raise InputProblem(said, WHERE, FILE_INSTEAD)
    return bytes(found)


def _kind(answer: BaseHTTPResponse) -> str:
    return answer.headers.get("Content-Type", "").partition(";")[0].strip().casefold()


def _too_slow() -> InputProblem:
    return InputProblem("The address took too long to answer", WHERE, FILE_INSTEAD)


def _unreachable(problem: Exception) -> InputProblem:
    secret = isinstance(problem, ssl.SSLError) or "certificate" in str(problem).casefold()
    said = "Its certificate cannot be trusted" if secret else "The address cannot be reached"
    return InputProblem(said, WHERE, FILE_INSTEAD)
