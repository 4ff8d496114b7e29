"""`python -m tests`: find or install a browser, run every test under coverage, say how it went."""

import os
import shutil
import subprocess
import sys

from tests.support.browser import find_browser

MOST_WORKERS = 4
PACKAGES = (["chromium-headless-shell", "libatomic1"], ["chromium", "libatomic1"])


def provide_browser() -> None:
    """Install a browser where there is none: by apt as root, else by Playwright."""
    if find_browser():
        return
    if hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        subprocess.run(["apt-get", "update", "-qq"], check=False)
        for packages in PACKAGES:
            done = subprocess.run(["apt-get", "install", "-y", "-qq", *packages], check=False)
            if done.returncode == 0:
                return
    subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], check=False)


def main() -> int:
    """Run the tests; gives back pytest's exit code."""
    provide_browser()
    workers = min(os.cpu_count() or 1, MOST_WORKERS)
    spread = ["-n", str(workers), "--dist", "loadfile"]
    run = [sys.executable, "-m", "coverage", "run", "-m", "pytest", *spread, *sys.argv[1:]]
    code = subprocess.run(run, check=False).returncode
    for what in (["combine", "--quiet"], ["report", "--format=total"]):
        subprocess.run([sys.executable, "-m", "coverage", *what], check=False)
    return code


if __name__ == "__main__":
    raise SystemExit(main())
