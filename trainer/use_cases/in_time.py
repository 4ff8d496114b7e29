"""Wait only so long for what cannot be stopped, such as the system's look-up of a name."""

import threading
from collections.abc import Callable
from concurrent.futures import Future
from typing import TypeVar

Found = TypeVar("Found")


def in_time(do: Callable[[], Found], seconds: float) -> Found:
    """What `do` gives, or what it raises. It runs beside, and is left to itself when time is up.

    Raises TimeoutError then.
    """
    found = Future[Found]()

    def run() -> None:
        try:
            found.set_result(do())
        except Exception as problem:  # handed to whoever waits
            found.set_exception(problem)

    threading.Thread(target=run, daemon=True).start()
    return found.result(seconds)
