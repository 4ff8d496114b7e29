"""The server that both apps of a benchmark run on."""

import gc

from flask import Flask
from gunicorn.app.base import BaseApplication


class OneWorker(BaseApplication):
    """Gunicorn with one sync worker."""

    def __init__(self, app: Flask, port: int) -> None:
        self._app, self._port = app, port
        super().__init__()

    def load_config(self) -> None:
        settings = {"bind": f"127.0.0.1:{self._port}", "workers": 1, "loglevel": "error"}
        for name, value in settings.items():
            self.cfg.set(name, value)

    def load(self) -> Flask:
        return self._app


def serve(app: Flask, port: int) -> None:
    """Serve until stopped. As `trainer serve` does, what is loaded is taken from the collector."""
    gc.freeze()
    OneWorker(app, port).run()
