"""A real browser: found where it stands, or installed by `python -m tests`."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.support.required import missing

NAMES = (
    "chromium-headless-shell",
    "chromium",
    "chromium-browser",
    "google-chrome-stable",
    "google-chrome",
)
MACOS = "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"
OWN = """
from playwright.sync_api import sync_playwright
with sync_playwright() as playwright:
    print(playwright.chromium.executable_path)
"""
ARGUMENTS = ["--disable-gpu", "--disable-background-networking", "--no-first-run"]
SLOWEST = 120_000
"""Milliseconds to wait: a busy machine is slow, and that is no fault of the page."""
WORDS = (
    "A Chromium browser is missing: install Debian's chromium, or run 'playwright install "
    "chromium', or set TRAINER_BROWSER"
)


def find_browser() -> str:
    """The path of a browser, or ''."""
    named = [os.environ.get("TRAINER_BROWSER"), *map(shutil.which, NAMES), MACOS]
    for path in named:
        if path and Path(path).exists():
            return path
    # Asked in a child process: where a system library is missing it may crash.
    asked = subprocess.run([sys.executable, "-c", OWN], capture_output=True, text=True, check=False)
    path = asked.stdout.strip()
    return path if path and Path(path).exists() else ""


@pytest.fixture(scope="session")
def browser():
    """A running browser."""
    path = find_browser()
    if not path:
        missing(WORDS)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        running = playwright.chromium.launch(
            executable_path=path,
            args=ARGUMENTS,
            timeout=SLOWEST,
            chromium_sandbox=hasattr(os, "geteuid") and os.geteuid() != 0,
        )
        yield running
        running.close()
