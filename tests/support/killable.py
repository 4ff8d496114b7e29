"""A server and a browser as processes of their own, to be killed without warning (SIGKILL)."""

import os
import socket
import subprocess
import sys
import time
import urllib.request
from contextlib import suppress
from pathlib import Path

from tests.support.browser import ARGUMENTS, SLOWEST, find_browser
from tests.support.site import Site
from trainer.settings import Settings
from trainer.use_cases.work import Work

PATIENCE = 120.0
OWN_PORTS = range(20_000, 32_000)
"""Below those that the system deals out: nobody gets one while its server is dead."""


class ServerProcess:
    """`trainer serve` on a folder and a port that stay the same, however often it is killed."""

    def __init__(self, folder: Path) -> None:
        (folder / "keys").mkdir(exist_ok=True)
        self.folder, self.port = folder, _free_port()
        settings = Settings(folder, secret_key="only for tests")
        work = Work(settings.database, settings.instance)
        work.prepare()
        self.site = Site(f"http://127.0.0.1:{self.port}", work, settings)

    def start(self) -> None:
        words = [sys.executable, "-m", "trainer", "serve", "--port", str(self.port)]
        more = {"TRAINER_INSTANCE": str(self.folder), "TRAINER_SECRET_KEY": "only for tests"}
        with (self.folder / "server.log").open("ab") as log:
            self.process = subprocess.Popen(
                words, env=os.environ | more, stdout=log, stderr=subprocess.STDOUT
            )
        _until(self._answers, f"the server says: {self.folder / 'server.log'}")

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()

    def _answers(self) -> bool:
        with urllib.request.urlopen(f"{self.site.address}/sign-in", timeout=20) as answer:  # noqa: S310
            return answer.status == 200


class BrowserProcess:
    """A browser of its own, driven from outside."""

    def __init__(self, playwright_browser, folder: Path, width: int = 390) -> None:
        folder.mkdir()
        words = [
            find_browser(),
            *ARGUMENTS,
            "--remote-debugging-port=0",
            f"--user-data-dir={folder}",
        ]
        if os.geteuid() == 0:
            words.append("--no-sandbox")
        self.process = subprocess.Popen(
            [*words, "about:blank"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        door = folder / "DevToolsActivePort"
        _until(lambda: bool(door.read_text().strip()), "the browser does not answer")
        port = door.read_text().split()[0]
        kind = playwright_browser.browser_type
        self.connected = kind.connect_over_cdp(f"http://127.0.0.1:{port}", timeout=SLOWEST)
        context = self.connected.new_context(viewport={"width": width, "height": 844})
        context.set_default_timeout(SLOWEST)
        self.page = context.new_page()

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()


def _free_port() -> int:
    for port in OWN_PORTS[os.getpid() % len(OWN_PORTS) :]:
        with socket.socket() as found, suppress(OSError):
            found.bind(("127.0.0.1", port))
            return port
    raise AssertionError("no port is free")


def _until(there, otherwise: str) -> None:
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        with suppress(OSError, ValueError):
            if there():
                return
        time.sleep(0.05)
    raise AssertionError(otherwise)
