"""What every test may ask for."""

import os
import secrets
from contextlib import closing, contextmanager
from dataclasses import replace
from shutil import copyfile

import pytest
from hypothesis import HealthCheck
from hypothesis import settings as hypothesis_settings
from itsdangerous import TimestampSigner

from tests.support.browser import browser  # noqa: F401
from tests.support.changed import a_change  # noqa: F401
from tests.support.demo import demo  # noqa: F401
from tests.support.letterbox import letterbox  # noqa: F401
from tests.support.page import faults
from tests.support.people import PASSWORDS, Someone
from tests.support.postgres import postgres_emptied, postgres_server  # noqa: F401
from tests.support.records import earned, issuing  # noqa: F401
from tests.support.settled import Ids, Ticking
from trainer.settings import Settings
from trainer.store import base
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.work import Work
from trainer.web.app import create_app
from trainer.web.visitor import CHOSEN

UNHURRIED = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow]}
hypothesis_settings.register_profile("ci", derandomize=True, **UNHURRIED)
hypothesis_settings.register_profile("dev", **UNHURRIED)
hypothesis_settings.load_profile("ci" if os.environ.get("CI") else "dev")


def pytest_addoption(parser):
    given = "ci" if os.environ.get("CI") else secrets.token_hex(4)
    parser.addoption("--chance", default=given, help="the word that settles every random id")


def pytest_report_header(config):
    return f"random ids settled by: --chance={config.getoption('chance')}"


def pytest_configure(config):
    config.settled = base.uuid4 = Ids(config.getoption("chance"))
    TimestampSigner.get_timestamp = staticmethod(Ticking())


def pytest_runtest_setup(item):
    item.config.settled.begin(item.nodeid)


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(fixturedef, request):
    """What many tests share is the same whichever of them asks first."""
    if fixturedef.scope == "function":
        return (yield)
    with request.config.settled.aside(f"{request.node.nodeid} {fixturedef.argname}"):
        return (yield)


@pytest.fixture(scope="session")
def bank():
    return open_bank()


@contextmanager
def prepared(url: str):
    work = Work(url)
    work.prepare()
    with closing(work):
        yield work


@pytest.fixture(scope="session")
def sqlite_prepared(tmp_path_factory):
    """fresh(folder) is the URL of a new database there with our tables and nothing in them."""
    model = tmp_path_factory.mktemp("empty") / "trainer.db"
    with prepared(f"sqlite:///{model}"):
        pass

    def fresh(folder):
        return f"sqlite:///{copyfile(model, folder / model.name)}"

    return fresh


@pytest.fixture(params=["sqlite", "postgresql"])
def work(request, tmp_path):
    """Units of work on an empty database, on SQLite and on PostgreSQL."""
    if request.param == "sqlite":
        url = request.getfixturevalue("sqlite_prepared")(tmp_path)
    else:
        url = request.getfixturevalue("postgres_emptied")()
    with closing(Work(url)) as opened:
        yield opened


@pytest.fixture
def sqlite_work(sqlite_prepared, tmp_path):
    """Units of work on SQLite alone, for screens."""
    with closing(Work(sqlite_prepared(tmp_path))) as opened:
        yield opened


@pytest.fixture
def settings(tmp_path):
    (tmp_path / "keys").mkdir(exist_ok=True)
    return Settings(tmp_path, secret_key="only for tests")


@pytest.fixture
def app_with(settings, sqlite_work):
    """app_with(proxies=1) is an app with that setting."""

    def made(**changed):
        app = create_app(replace(settings, **changed), sqlite_work, PASSWORDS)
        app.config.update(TESTING=True, WTF_CSRF_ENABLED=False)
        return app

    return made


@pytest.fixture
def app(app_with):
    return app_with()


@pytest.fixture
def client(app):
    return app.test_client()


class Visit:
    """A client signed in as somebody; every page it fetches is checked as a page."""

    def __init__(self, client, someone: Someone | None = None) -> None:
        self.client = client
        if someone:
            with client.session_transaction() as kept:
                kept["_user_id"], kept["_fresh"] = f"{someone.id}:0", True
                kept[CHOSEN] = someone.organisation

    def get(self, address, code=200, **more):
        return self._checked(self.client.get(address, follow_redirects=True, **more), code)

    def post(self, address, data=None, code=200, **more):
        answer = self.client.post(address, data=data or {}, follow_redirects=True, **more)
        return self._checked(answer, code)

    def _checked(self, answer, code):
        assert answer.status_code == code, answer.get_data(as_text=True)[:2000]
        if answer.mimetype == "text/html":
            assert faults(answer.get_data(as_text=True)) == []
        return answer.get_data(as_text=True)


@pytest.fixture
def visit(app):
    """visit(someone) is a client signed in as them; visit() one that is not."""
    return lambda someone=None: Visit(app.test_client(), someone)
