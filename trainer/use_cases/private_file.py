"""Files that their owner alone may read, put in place whole and safe on the disk."""

import os
from contextlib import suppress
from pathlib import Path

OWNER_ONLY, OWNER_ONLY_FOLDER = 0o600, 0o700


def put(path: Path, content: bytes) -> None:
    """Put a file in place, or another in the place of one that is there."""
    drafted(path, content).replace(path)


def put_once(path: Path, content: bytes) -> None:
    """Put a file in place unless one is there: of several that ask at once, one does."""
    draft = drafted(path, content)
    with suppress(FileExistsError):
        os.link(draft, path)
    draft.unlink()


def drafted(path: Path, content: bytes) -> Path:
    """The file beside its place, not yet in it; its folder is made where there is none."""
    path.parent.mkdir(mode=OWNER_ONLY_FOLDER, parents=True, exist_ok=True)
    draft = path.with_name(f"{path.name}.{os.getpid()}-{os.urandom(4).hex()}.new")
    descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    return draft
