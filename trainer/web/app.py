"""Make the app: settings and a database in, screens out."""

from datetime import timedelta
from importlib import import_module
from pkgutil import iter_modules

from flask import Flask
from flask_login import LoginManager
from flask_wtf import CSRFProtect
from werkzeug.middleware.proxy_fix import ProxyFix

from trainer import web
from trainer.settings import Settings
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.passwords import Passwords
from trainer.use_cases.work import Work
from trainer.web.access import close_by_default
from trainer.web.answers import answer_problems
from trainer.web.api.serving import serve_programs
from trainer.web.headers import add_headers
from trainer.web.house import House
from trainer.web.needs.views import stop as stop_letters
from trainer.web.plain_text import PlainRequest
from trainer.web.visitor import settle_sign_in
from trainer.web.words import speak

LARGEST_REQUEST = 1024 * 1024
VISIT = timedelta(hours=12)


def create_app(settings: Settings, work: Work, passwords: Passwords | None = None) -> Flask:
    """An app on a prepared database. `settings` must hold a secret key."""
    app = Flask(__name__, instance_path=str(settings.instance))
    app.request_class = PlainRequest
    app.config.update(
        SECRET_KEY=settings.secret_key,
        SESSION_COOKIE_NAME="__Host-visit" if settings.https else "visit",
        SESSION_COOKIE_SECURE=settings.https,
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        PERMANENT_SESSION_LIFETIME=VISIT,
        SESSION_REFRESH_EACH_REQUEST=False,
        MAX_CONTENT_LENGTH=LARGEST_REQUEST,
        WTF_CSRF_TIME_LIMIT=None,
    )
    if settings.proxies:  # throttles and limits go by who asks, not by who passes it on
        app.wsgi_app = ProxyFix(app.wsgi_app, settings.proxies, x_proto=0)  # type: ignore[method-assign]
    app.extensions["trainer"] = House(settings, work, open_bank(), passwords or Passwords())
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    csrf = CSRFProtect(app)
    settle_sign_in(LoginManager(app))
    for pages in rooms():
        app.register_blueprint(pages)
    csrf.exempt(stop_letters)
    serve_programs(app, csrf)
    close_by_default(app)
    answer_problems(app)
    add_headers(app, settings.https)
    speak(app)
    return app


def rooms() -> list:  # type: ignore[type-arg]
    """The pages of every room: a package of `web` with `views.pages` is one."""
    names = [room.name for room in iter_modules(web.__path__) if room.ispkg]
    return [import_module(f"trainer.web.{name}.views").pages for name in names]
