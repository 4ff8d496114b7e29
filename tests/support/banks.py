"""Copies of the shipped bank with something changed."""

import re

from trainer.use_cases.open_bank import shipped_files


def with_change(path: str, old: str, new: str) -> dict[str, str]:
    """The shipped files with one text replaced once. The old text must be there."""
    files = shipped_files()
    assert old in files[path], f"{old!r} is not in {path}"
    return {**files, path: files[path].replace(old, new, 1)}


def with_more(path: str, more: str) -> dict[str, str]:
    """The shipped files with something added to one, or a new one."""
    files = shipped_files()
    return {**files, path: files.get(path, "") + "\n" + more}


def with_method(name: str, like: str) -> dict[str, str]:
    """The shipped files with one more method: another one's folder under a new name."""
    files = shipped_files()
    copied = {
        path.replace(f"methods/{like}/", f"methods/{name}/"): re.sub(rf"\b{like}\b", name, text)
        for path, text in files.items()
        if path.startswith(f"methods/{like}/")
    }
    return {**files, **copied}
