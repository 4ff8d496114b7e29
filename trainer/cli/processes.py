"""Several processes behind a proxy. Each opens the database for itself, after the fork."""

from flask import Flask
from gunicorn.app.base import BaseApplication

from trainer.settings import Settings
from trainer.use_cases.work import Work
from trainer.web.app import create_app


class Processes(BaseApplication):  # type: ignore[misc]
    """Gunicorn with our settings instead of its own files."""

    def __init__(self, settings: Settings, bind: str, workers: int) -> None:
        self._settings = settings
        self._options = {"bind": bind, "workers": workers, "worker_class": "sync"}
        super().__init__()

    def load_config(self) -> None:
        """Gunicorn asks for its options."""
        for name, value in {**self._options, "loglevel": "warning"}.items():
            self.cfg.set(name, value)

    def load(self) -> Flask:
        """A worker asks for the app."""
        return create_app(self._settings, Work(self._settings.database, self._settings.instance))


def serve_in_processes(settings: Settings, bind: str, workers: int) -> None:
    """Serve until stopped. The database must be prepared."""
    Processes(settings, bind, workers).run()
