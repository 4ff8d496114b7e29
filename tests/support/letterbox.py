"""A real mail server on this machine that keeps what it is given."""

import socket
from contextlib import contextmanager
from email import message_from_bytes, policy

import pytest
from aiosmtpd.controller import Controller


class Letterbox:
    def __init__(self):
        self.letters, self.raw = [], []
        self.refused = set()

    async def handle_DATA(self, server, session, envelope):
        if self.refused & set(envelope.rcpt_tos):
            return "550 no such box"
        self.raw.append(envelope.content)
        self.letters.append(message_from_bytes(envelope.content, policy=policy.default))
        return "250 OK"


@contextmanager
def letterbox_at(scheme="smtp", **more):
    """`url` for the settings, `letters` that came and their `raw` bytes, `refused` addresses."""
    box = Letterbox()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    controller = Controller(box, hostname="127.0.0.1", port=port, **more)
    controller.start()
    box.url = f"{scheme}://127.0.0.1:{port}"
    yield box
    controller.stop()


@pytest.fixture
def letterbox():
    with letterbox_at() as box:
        yield box
