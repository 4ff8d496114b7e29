"""Standard output is for our own answers: what a library prints there goes to standard error."""

import os
import sys
from contextlib import suppress


def keep_output_ours() -> None:
    """From here on only Python's own output is the process's standard output.

    The solver of forms (HiGHS) prints a line of its own now and then, from C and whatever it is
    told, which would spoil the JSON. Where a stream is closed, all stays as it is.
    """
    with suppress(OSError):
        ours = os.dup(1)
        os.dup2(2, 1)
        before = sys.stdout
        sys.stdout = os.fdopen(ours, "w", encoding=before.encoding, errors=before.errors)
