"""A real mail server on this machine that keeps what it is given."""

import socket
from contextlib import contextmanager
from email import message_from_bytes, policy

import pytest
from aiosmtpd.controller import Controller

from trainer.use_cases import send_mail

PATIENCE = 60
"""Seconds: a busy machine is slow, and that is no fault of the letters."""


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


class Here(Controller):
    """Takes the port that it is given while it opens it, so that nobody else takes it first."""

    def _create_server(self):
        door = socket.create_server((self.hostname, 0))
        self.port = door.getsockname()[1]
        return self.loop.create_server(self._factory_invoker, sock=door, ssl=self.ssl_context)


@contextmanager
def letterbox_at(scheme="smtp", **more):
    """`url` for the settings, `letters` that came and their `raw` bytes, `refused` addresses."""
    box = Letterbox()
    controller = Here(box, hostname="127.0.0.1", ready_timeout=PATIENCE, **more)
    controller.start()
    box.url = f"{scheme}://127.0.0.1:{controller.port}"
    with pytest.MonkeyPatch.context() as put:
        put.setattr(send_mail, "PATIENCE_S", PATIENCE)
        yield box
    controller.stop()


@pytest.fixture
def letterbox():
    with letterbox_at() as box:
        yield box
