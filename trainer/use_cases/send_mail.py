"""Give a letter to the mail server that the settings name."""

import smtplib
from collections.abc import Iterable
from email.message import EmailMessage
from urllib.parse import unquote, urlsplit

PATIENCE_S = 10


def send(smtp_url: str, messages: Iterable[EmailMessage]) -> None:
    """Send letters over one connection.

    `smtp_url`: smtp, smtp+starttls or smtps. Raises OSError or smtplib.SMTPException.
    """
    parts = urlsplit(smtp_url)
    host, port = parts.hostname or "localhost", parts.port or 25
    kind = smtplib.SMTP_SSL if parts.scheme == "smtps" else smtplib.SMTP
    with kind(host, port, timeout=PATIENCE_S) as server:
        if parts.scheme == "smtp+starttls":
            server.starttls()
        if parts.username:
            server.login(unquote(parts.username), unquote(parts.password or ""))
        for message in messages:
            server.send_message(message)
