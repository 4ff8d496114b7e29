"""Load or make an organisation's signing key; it lives in a folder outside database and code."""

import os
from contextlib import suppress
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)

from trainer.core.problems import InputProblem
from trainer.core.records.keys import Signer

OWNER_ONLY = 0o600
OWNER_ONLY_FOLDER = 0o700


def signer_of(folder: Path, organisation_id: str) -> Signer:
    """Give the organisation's signing key, made the first time it is asked for.

    Two processes that ask at once get the same key: the file is put in place whole, and only one
    of them can do so.
    """
    path = _place(folder, organisation_id)
    if not path.exists():
        _make(path)
    return _read(path)


def _place(folder: Path, organisation_id: str) -> Path:
    if not organisation_id or not all(
        c.isascii() and (c.isalnum() or c in "-_") for c in organisation_id
    ):
        raise ValueError(f"{organisation_id=} is not an id")
    return folder / f"{organisation_id}.pem"


def _make(path: Path) -> None:
    path.parent.mkdir(mode=OWNER_ONLY_FOLDER, parents=True, exist_ok=True)
    key = Ed25519PrivateKey.generate()
    text = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    draft = path.with_suffix(f".{os.getpid()}-{os.urandom(4).hex()}.new")
    descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY)
    with os.fdopen(descriptor, "wb") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    with suppress(FileExistsError):
        os.link(draft, path)
    draft.unlink()


def _read(path: Path) -> Signer:
    try:
        key = load_pem_private_key(path.read_bytes(), password=None)
    except ValueError:
        key = None
    if not isinstance(key, Ed25519PrivateKey):
        raise InputProblem("this is no Ed25519 signing key", str(path), "Restore it from a backup.")
    return Signer(key.private_bytes_raw())
