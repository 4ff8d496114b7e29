"""Addresses that people give us to fetch from: which we may open at all.

Someone who may type an address could make this machine ask its own neighbours. So the parts of an
address are read strictly, and every network address that its name stands for must be a public one
(IANA's registries of special-purpose addresses, RFC 6890, as Python's ipaddress holds them).
"""

import ipaddress
from dataclasses import dataclass
from urllib.parse import SplitResult, quote, urljoin, urlsplit

from trainer.core.problems import InputProblem

SCHEMES = {"http": 80, "https": 443}
SUBSCRIBED = "webcal"  # what calendar programs write for 'subscribe to this'
PORTS = (80, 443, 8080, 8443)
LONGEST = 2_000  # characters
NAT64 = ipaddress.ip_network("64:ff9b::/96")  # RFC 6052, 2.1: the last four bytes are IPv4
KEPT = "%/?&=+:;,@!$'()*~[]"  # of path and query, as they stand
WHERE = "address"
REMEDY = "Copy the whole address from where it is shown, starting with https://."


@dataclass(frozen=True)
class Address:
    """An address taken apart: `scheme` http or https, `host` in ASCII, `rest` path and query."""

    scheme: str
    host: str
    port: int
    rest: str

    @property
    def url(self) -> str:
        """The address in one piece, without its fragment."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        usual = self.port == SCHEMES[self.scheme]
        return f"{self.scheme}://{host}{'' if usual else f':{self.port}'}{self.rest}"


def read_address(text: str, ports: tuple[int, ...] = PORTS) -> Address:
    """Read an address that a person gives.

    Parameters
    ----------
    text : http, https or webcal (read as https), without name or password.
    ports : The ports that may be named; empty for any.

    Returns
    -------
    Its parts.

    Raises
    ------
    InputProblem : If it is too long, no such address, names a user, or another port.
    """
    words = text.strip()
    if len(words) > LONGEST or not words.isprintable() or " " in words or "\\" in words:
        raise InputProblem("This is not an address", WHERE, REMEDY)
    try:
        parts = urlsplit(words)
        port = parts.port
    except ValueError:
        raise InputProblem("This is not an address", WHERE, REMEDY) from None
    scheme = "https" if parts.scheme == SUBSCRIBED else parts.scheme
    if scheme not in SCHEMES or not parts.hostname:
        raise InputProblem("This is no web address", WHERE, REMEDY)
    if "@" in parts.netloc:
        raise InputProblem("A name or password stands in the address", WHERE, "Leave it out.")
    port = SCHEMES[scheme] if port is None else port
    if ports and port not in ports:
        raise InputProblem(f"Port {port} is not one that we open", WHERE, REMEDY)
    return Address(scheme, _ascii(parts.hostname), port, _rest(parts))


def onward(before: Address, location: str, ports: tuple[int, ...] = PORTS) -> Address:
    """Read where an answer sends us on to.

    Parameters
    ----------
    before : The address that answered.
    location : What it named, whole or relative.
    ports : As for `read_address`.

    Returns
    -------
    The next address.

    Raises
    ------
    InputProblem : If it may not be opened, or leads from https to http.
    """
    found = read_address(urljoin(before.url, location), ports)
    if before.scheme == "https" and found.scheme != "https":
        raise InputProblem("It leads on to an address that is not secret", WHERE, REMEDY)
    return found


def is_public(network_address: str) -> bool:
    """Tell whether a network address is one of the open internet.

    Parameters
    ----------
    network_address : IPv4 or IPv6 as text, as name lookup gives it.

    Returns
    -------
    False for loopback, private, link-local, multicast, reserved and shared addresses, for IPv6
    that holds such an IPv4 (mapped, 6to4, NAT64), for Teredo, and for what is no address.
    """
    try:
        found = ipaddress.ip_address(network_address)
    except ValueError:
        return False
    if isinstance(found, ipaddress.IPv6Address):
        inner = _inside(found)
        if inner is not None:
            return is_public(str(inner))
        if found.teredo is not None or found.is_site_local or found.scope_id is not None:
            return False
    closed = found.is_multicast or found.is_reserved or found.is_loopback or found.is_link_local
    return found.is_global and not closed and not found.is_private and not found.is_unspecified


def _inside(found: ipaddress.IPv6Address) -> ipaddress.IPv4Address | None:
    if found in NAT64:
        return ipaddress.IPv4Address(found.packed[-4:])
    return found.ipv4_mapped or found.sixtofour


def _ascii(host: str) -> str:
    try:
        return str(ipaddress.ip_address(host))
    except ValueError:
        pass
    try:
        return host.encode("idna").decode("ascii")
    except UnicodeError:
        raise InputProblem("This is not an address", WHERE, REMEDY) from None


def _rest(parts: SplitResult) -> str:
    said = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return quote(said, safe=KEPT)
