"""What a library prints from C never stands among our answers."""

import json
import subprocess
import sys

CHATTER = """
import ctypes
from trainer.cli import rules
spoken = rules.print_lines
def print_lines(rows):
    ctypes.CDLL(None).puts(b"tmpSolver.run();")
    spoken(rows)
rules.print_lines = print_lines
from trainer.cli.entry import start
import sys
sys.argv = ["trainer", "rules"]
start()
"""


def test_chatter_of_a_library_goes_to_standard_error():
    done = subprocess.run(
        [sys.executable, "-c", CHATTER], capture_output=True, encoding="utf-8", check=True
    )
    assert [json.loads(line) for line in done.stdout.splitlines()]
    assert "tmpSolver" in done.stderr


def test_it_starts_with_closed_streams():
    closed = f"{sys.executable} -m trainer --version 2>&-"
    done = subprocess.run(closed, shell=True, stdout=subprocess.PIPE, check=True)  # noqa: S602
    assert done.stdout
