"""What a test needs from the machine: missing on somebody's own it skips, in CI it fails."""

import os

import pytest


def missing(why: str) -> None:
    """Skip on somebody's own machine; fail in CI, where nothing may be skipped."""
    if os.environ.get("CI"):
        pytest.fail(why, pytrace=False)
    pytest.skip(why)
