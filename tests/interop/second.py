"""The second implementation as a process: one question in, one answer out."""

import json
import shutil
import subprocess
from contextlib import contextmanager
from pathlib import Path

from openvc.multibase import encode_multibase

from tests.support.required import missing
from trainer.core.records import contexts
from trainer.core.records.keys import Signer

HERE = Path(__file__).parent
SECRET_PREFIX = b"\x80\x26"  # multicodec ed25519-priv
FILES = ("package.json", "second.mjs")


def installed(folder: Path) -> Path:
    """The libraries that package.json names, in a folder of their own. Without npm: `missing`."""
    if shutil.which("npm") is None or shutil.which("node") is None:
        missing("node and npm are missing: the second implementation is written for them")
    for name in FILES:
        shutil.copy(HERE / name, folder)
    command = ["npm", "install", "--silent", "--no-audit", "--no-fund"]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True)
    if done.returncode:
        missing(f"npm cannot install the second implementation: {done.stderr[-200:]}")
    return folder


class Second:
    """Verifies and signs by other people's code, offline, with our pinned contexts."""

    def __init__(self, process: subprocess.Popen) -> None:
        self._process = process
        self._contexts = {url: json.loads(contexts._installed(url)) for url in contexts.PINNED}

    def verify(self, document: dict, now: str) -> dict:
        """{verified, why} for a document, with the key that its proof names taken as known."""
        method = document["proof"]["verificationMethod"]
        return self._ask({"act": "verify", "document": document, "now": now}, method)

    def sign(self, document: dict, signer: Signer, method: str, created: str) -> dict:
        """The document with a proof."""
        pair = {
            **_key(method),
            "@context": "https://w3id.org/security/multikey/v1",
            "secretKeyMultibase": encode_multibase(SECRET_PREFIX + signer.secret),
        }
        return self._ask(
            {"act": "sign", "document": document, "pair": pair, "created": created}, method
        )

    def _ask(self, asked: dict, method: str) -> dict:
        told = {**asked, "contexts": self._contexts, "keys": [_key(method)]}
        self._process.stdin.write(json.dumps(told) + "\n")
        self._process.stdin.flush()
        return json.loads(self._process.stdout.readline())


def _key(method: str) -> dict:
    controller, _, multibase = method.partition("#")
    return {
        "id": method,
        "type": "Multikey",
        "controller": controller,
        "publicKeyMultibase": multibase,
    }


@contextmanager
def running(folder: Path):
    """The process, ended at the end."""
    command = ["node", "second.mjs"]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
    with subprocess.Popen(command, cwd=folder, text=True, **pipes) as process:
        yield Second(process)
        process.stdin.close()
