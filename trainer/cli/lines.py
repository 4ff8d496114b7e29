"""How commands speak: JSON on standard output, messages on standard error, 0, 1 or 2."""

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NoReturn

import click

from trainer.core.problems import InputProblem

DONE, NO, WRONG_INPUT = 0, 1, 2


def print_lines(rows: Iterable[Any]) -> None:
    """One JSON value a line."""
    for row in rows:
        click.echo(json.dumps(row, ensure_ascii=False))


def print_json(value: Any) -> None:
    """One JSON value, readable."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=2))


def answer_no() -> NoReturn:
    """End with 1: the answer is no."""
    sys.exit(NO)


def read_text(name: str) -> str:
    """A file's text, or standard input for '-'. Raises InputProblem."""
    if name == "-":
        return sys.stdin.read()
    try:
        return Path(name).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError, ValueError):
        raise InputProblem("cannot be read as text", name, "Check the file's name.") from None


def read_json(name: str) -> Any:
    """A JSON document from a file or '-'. Raises InputProblem with the line."""
    text = read_text(name)
    try:
        return json.loads(text)
    except json.JSONDecodeError as problem:
        where = f"{name}, line {problem.lineno}"
        raise InputProblem(f"is not JSON: {problem.msg}", where, "Mend that line.") from None


def read_json_lines(name: str) -> list[Any]:
    """JSON Lines from a file or '-'; blank lines are passed over. Raises InputProblem."""
    rows = []
    for number, line in enumerate(read_text(name).splitlines(), 1):
        if not line.strip():
            continue
        try:
            rows.append(json.loads(line))
        except json.JSONDecodeError as problem:
            where = f"{name}, line {number}"
            raise InputProblem(f"is not JSON: {problem.msg}", where, "Mend that line.") from None
    return rows
