"""The limit holds while it lasts, and no longer."""

import numpy as np
from threadpoolctl import threadpool_info, threadpool_limits

from trainer.core.measurement.one_thread import one_thread


def threads():
    assert np.linalg.inv(np.eye(2)).shape == (2, 2)
    return {one["num_threads"] for one in threadpool_info() if one["user_api"] == "blas"}


def test_one_thread_while_it_lasts():
    with threadpool_limits(2, "blas"):
        with one_thread():
            assert threads() == {1}
        assert threads() == {2}
