"""The demo scenario, made once for all tests that look at it and change nothing."""

import pytest

from tests.support.people import NOW, PASSWORDS
from trainer.use_cases import fill_demo
from trainer.use_cases.demo_cast import LEARNERS, STYLISTS
from trainer.use_cases.work import Work


@pytest.fixture(scope="session")
def demo(tmp_path_factory, bank):
    """Units of work, the lines that say who can sign in, and the instance folder."""
    folder = tmp_path_factory.mktemp("demo")
    work = Work(f"sqlite:///{folder / 'trainer.db'}", folder)
    work.prepare()
    steps = []
    said = fill_demo.fill(
        work,
        bank,
        folder / "keys",
        "http://x.example",
        NOW,
        lambda *s: steps.append(s),
        PASSWORDS,
    )
    assert steps[-1] == (len(LEARNERS) + len(STYLISTS),) * 2
    yield work, said, folder
    work.close()
