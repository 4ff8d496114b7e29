"""An organisation's signing keys: they live in a folder outside database and code.

`ID.pem` is the key in use. Keys used before stand in `ID.retired/`, named by their public half: as
a public key, which old records still need; or whole, while records name the key itself as their
issuer (did:key), for then nobody else can sign the list that says whether they still hold.
"""

import os
from collections.abc import Callable
from pathlib import Path

from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
    load_pem_public_key,
)

from trainer.core.problems import InputProblem
from trainer.core.records.keys import PublicKey, Signer
from trainer.use_cases import private_file

PUBLIC_MARK = b"-----BEGIN PUBLIC KEY-----"


def signer_of(folder: Path, organisation_id: str) -> Signer:
    """Give the organisation's signing key, made the first time it is asked for.

    Two processes that ask at once get the same key: the file is put in place whole, and only one
    of them can do so.
    """
    path = _place(folder, organisation_id)
    if not path.exists():
        private_file.put_once(path, _private_text(Ed25519PrivateKey.generate()))
    return _read(path)


def public_keys(folder: Path, organisation_id: str) -> tuple[PublicKey, ...]:
    """Give the public half of every key the organisation has used, the one in use first."""
    current = signer_of(folder, organisation_id).public
    retired = (_read_public(path) for path in _retired(folder, organisation_id))
    return (current, *(key for key in retired if key != current))


def signer_for(folder: Path, organisation_id: str, key: PublicKey) -> Signer | None:
    """Give the signing key of one public key, or None when its secret half is gone."""
    current = signer_of(folder, organisation_id)
    if current.public.raw == key.raw:
        return current
    path = _retired_place(folder, organisation_id, key)
    if not path.exists() or path.read_bytes().startswith(PUBLIC_MARK):
        return None
    return _read(path)


def replace_key(
    folder: Path, organisation_id: str, still_lists: Callable[[PublicKey], bool]
) -> tuple[PublicKey, PublicKey]:
    """Put a new signing key in the place of the old one; give back the old and the new one.

    Of each key no longer in use the secret half is kept only where `still_lists` says that it must
    sign status lists yet. At no moment is there no key in use.
    """
    old, path = signer_of(folder, organisation_id), _place(folder, organisation_id)
    kept = _retired_place(folder, organisation_id, old.public)
    _put(kept, path.read_bytes())
    new = Ed25519PrivateKey.generate()
    private_file.put(path, _private_text(new))
    for place in _retired(folder, organisation_id):
        key = _read_public(place)
        if not still_lists(key):
            _put(place, _public_text(key))
    return old.public, PublicKey(new.public_key().public_bytes_raw())


def _place(folder: Path, organisation_id: str) -> Path:
    if not organisation_id or not all(
        c.isascii() and (c.isalnum() or c in "-_") for c in organisation_id
    ):
        raise ValueError(f"{organisation_id=} is not an id")
    return folder / f"{organisation_id}.pem"


def _retired_place(folder: Path, organisation_id: str, key: PublicKey) -> Path:
    return _place(folder, organisation_id).with_suffix(".retired") / f"{key.multibase}.pem"


def _retired(folder: Path, organisation_id: str) -> list[Path]:
    """Files of keys no longer in use, the one retired last first."""
    found = _place(folder, organisation_id).with_suffix(".retired").glob("*.pem")
    return sorted(found, key=lambda path: (-path.stat().st_mtime_ns, path.name))


def _private_text(key: Ed25519PrivateKey) -> bytes:
    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


def _public_text(key: PublicKey) -> bytes:
    public = Ed25519PublicKey.from_public_bytes(key.raw)
    return public.public_bytes(Encoding.PEM, PublicFormat.SubjectPublicKeyInfo)


def _put(path: Path, text: bytes) -> None:
    """Put a whole file in place, keeping the moment of one that was there."""
    before = path.stat() if path.exists() else None
    draft = private_file.drafted(path, text)
    if before is not None:
        os.utime(draft, ns=(before.st_atime_ns, before.st_mtime_ns))
    draft.replace(path)


def _read(path: Path) -> Signer:
    try:
        key = load_pem_private_key(path.read_bytes(), password=None)
    except (ValueError, UnsupportedAlgorithm):
        key = None
    if not isinstance(key, Ed25519PrivateKey):
        raise InputProblem("this is no Ed25519 signing key", str(path), "Restore it from a backup.")
    return Signer(key.private_bytes_raw())


def _read_public(path: Path) -> PublicKey:
    text = path.read_bytes()
    if not text.startswith(PUBLIC_MARK):
        return _read(path).public
    try:
        key = load_pem_public_key(text)
    except (ValueError, UnsupportedAlgorithm):
        key = None
    if not isinstance(key, Ed25519PublicKey):
        raise InputProblem("this is no Ed25519 public key", str(path), "Restore it from a backup.")
    return PublicKey(key.public_bytes_raw())
