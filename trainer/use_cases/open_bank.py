"""Read the bank that is installed with the program, once a process."""

from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.read import read_bank


@lru_cache(maxsize=1)
def open_bank() -> Bank:
    """The shipped bank. Raises BankProblems with every complaint if it does not hold."""
    return read_bank(shipped_files())


def shipped_files() -> dict[str, str]:
    """Path below the bank -> text, for every file of content."""
    return dict(_walk(files("question_bank"), ""))


def _walk(folder: Traversable, prefix: str) -> list[tuple[str, str]]:
    found = []
    for entry in folder.iterdir():
        if entry.is_dir():
            found += _walk(entry, f"{prefix}{entry.name}/")
        elif entry.name.endswith(".toml"):
            found.append((prefix + entry.name, entry.read_text(encoding="utf-8")))
    return found
