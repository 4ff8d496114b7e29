"""Sites for the journeys: an empty one, and one with the demo scenario."""

import pytest

from tests.support.one_day import one_day  # noqa: F401
from tests.support.people import PASSWORDS
from tests.support.site import running_site
from trainer import clock
from trainer.use_cases import fill_demo
from trainer.use_cases.open_bank import open_bank


@pytest.fixture
def site(tmp_path):
    with running_site(tmp_path) as running:
        yield running


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory):
    """The demo, as `trainer serve --demo` fills it. Journeys only read there."""
    with running_site(tmp_path_factory.mktemp("demo-site")) as running:
        keys, now = running.settings.keys, clock.now()
        bank = open_bank()
        fill_demo.fill(running.work, bank, keys, running.address, now, lambda *_: None, PASSWORDS)
        yield running
