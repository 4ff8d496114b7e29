"""Give a letter to the mail server that the settings name."""

import smtplib
import ssl
import threading
from collections.abc import Iterable
from dataclasses import dataclass
from email.message import EmailMessage
from email.policy import default
from functools import partial
from urllib.parse import SplitResult, unquote, urlsplit

from trainer.use_cases.in_time import in_time

PATIENCE_S = 10
TO_CONNECT_S = 20
"""In all: the look-up of the server's name has no limit of its own, and may give many addresses."""
AT_ONCE = threading.BoundedSemaphore(16)
"""Ways to a server that are being opened; one that was given up counts until the system ends it."""
PORTS = {"smtp": 25, "smtp+starttls": 587, "smtps": 465}
"""Where the address names none."""

WHOLE_LINES = default.clone(max_line_length=998)
"""As long as a line may be (RFC 5322, 2.1.1). A longer one would be folded by putting it into
codes, and an address in a header that stands in codes is none (RFC 2047, 5).
"""


@dataclass(frozen=True, slots=True)
class Letters:
    """What letters are made with. `site`: our own address, without a slash at its end."""

    smtp_url: str
    sender: str
    site: str


def new_letter(sender: str, to: str, subject: str) -> EmailMessage:
    """A letter without a text yet, whose addresses of pages stay whole."""
    message = EmailMessage(policy=WHOLE_LINES)
    message["From"], message["To"], message["Subject"] = sender, to, subject
    return message


def send(smtp_url: str, messages: Iterable[EmailMessage]) -> None:
    """Send letters over one connection.

    `smtp_url`: smtp, smtp+starttls or smtps; with the latter two nothing is said, and no password,
    before the server has shown a certificate that can be trusted. Raises OSError, also where it
    takes too long, or smtplib.SMTPException.
    """
    parts = urlsplit(smtp_url)
    with in_time(partial(_one_of, AT_ONCE, parts), TO_CONNECT_S) as server:
        if parts.username:
            server.login(unquote(parts.username), unquote(parts.password or ""))
        for message in messages:
            server.send_message(message)


def _one_of(few: threading.BoundedSemaphore, parts: SplitResult) -> smtplib.SMTP:
    if not few.acquire(blocking=False):
        raise OSError("too many letters wait for the mail server")
    try:
        return _connected(parts)
    finally:
        few.release()


def _connected(parts: SplitResult) -> smtplib.SMTP:
    host, port = parts.hostname or "localhost", parts.port or PORTS[parts.scheme]
    trusted = ssl.create_default_context()
    if parts.scheme == "smtps":
        return smtplib.SMTP_SSL(host, port, timeout=PATIENCE_S, context=trusted)
    server = smtplib.SMTP(host, port, timeout=PATIENCE_S)
    if parts.scheme == "smtp+starttls":
        server.starttls(context=trusted)
    return server
