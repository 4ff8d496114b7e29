"""Thin products of matrices on one thread: shared out, threads wait for each other longer than they
work, many times longer on a busy machine."""

from contextlib import AbstractContextManager
from functools import cache
from typing import Any

from threadpoolctl import ThreadpoolController


def one_thread() -> AbstractContextManager[Any]:
    """While it lasts, the linear algebra of this process keeps to one thread."""
    limit: AbstractContextManager[Any] = _controller().limit(limits=1, user_api="blas")
    return limit


@cache
def _controller() -> ThreadpoolController:
    """The libraries that are loaded, looked up once."""
    return ThreadpoolController()
