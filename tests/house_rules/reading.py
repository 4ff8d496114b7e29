"""What the house rules look at: the project's own files, read as text and as syntax."""

import ast
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LONGEST_FILE = 400
LONGEST_FUNCTION = 40
PLAIN_FIGURES = {0, 1, 2, 0.5, 100}
MAGNETS = {"utils", "helpers", "common", "models", "manager", "forms", "routes", "config", "misc"}


def tracked(*suffixes: str) -> list[Path]:
    """Every file that is or would be committed, with one of these endings."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.splitlines()
    paths = (ROOT / name for name in listed)
    return [path for path in paths if path.suffix in suffixes and path.exists()]


def too_long(text: str) -> bool:
    return len(text.splitlines()) > LONGEST_FILE


def long_functions(source: str) -> list[str]:
    """Functions over the limit, by name; a docstring does not count."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            first = node.body[0]
            spoken = ast.get_docstring(node, clean=False) is not None
            prose = (first.end_lineno or 0) - first.lineno + 1 if spoken else 0
            if (node.end_lineno or 0) - node.lineno + 1 - prose > LONGEST_FUNCTION:
                found.append(node.name)
    return found


def figures(source: str) -> list[tuple[int, float]]:
    """Literal numbers that are not plain ones, with their lines."""
    return [
        (node.lineno, node.value)
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Constant)
        and isinstance(node.value, int | float)
        and not isinstance(node.value, bool)
        and node.value not in PLAIN_FIGURES
    ]
