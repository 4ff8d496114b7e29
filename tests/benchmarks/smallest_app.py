"""The smallest Flask app of the same shape as 'answer and see the feedback'.

Session cookie, Flask-Login user read from the database, one committed upsert, SQLite in WAL
with synchronous FULL, on the same server. What it measures against is `answer.py`.
"""

import sys

from flask import Flask, request
from flask_login import LoginManager, UserMixin, current_user, login_required, login_user
from flask_wtf import CSRFProtect
from flask_wtf.csrf import generate_csrf
from sqlalchemy import create_engine, event, text

from tests.benchmarks.server import serve

PERSON = text("select id from people where id = :id")
UPSERT = text(
    "insert into answers (person, item, answer) values (:person, :item, :answer) "
    "on conflict (person, item) do update set answer = excluded.answer"
)


class User(UserMixin):
    def __init__(self, id_: str) -> None:
        self.id = id_


def engine_for(path: str):
    engine = create_engine(f"sqlite:///{path}")

    @event.listens_for(engine, "connect")
    def settle(connection, _record):
        for pragma in ("journal_mode=WAL", "synchronous=FULL", "busy_timeout=10000"):
            connection.execute(f"PRAGMA {pragma}")

    with engine.begin() as connection:
        connection.execute(text("create table people (id text primary key)"))
        connection.execute(
            text(
                "create table answers (person text, item text, answer text, unique (person, item))"
            )
        )
        connection.execute(text("insert into people values ('one')"))
    return engine


def small_app(path: str) -> Flask:
    app = Flask(__name__)
    app.secret_key = "benchmark"
    engine = engine_for(path)
    login = LoginManager(app)

    @login.user_loader
    def load(id_: str) -> User | None:
        with engine.connect() as connection:
            row = connection.execute(PERSON, {"id": id_}).first()
        return User(row.id) if row else None

    @app.get("/sign-in")
    def sign_in() -> str:
        login_user(User("one"))
        return "in"

    @app.post("/answer/<item>")
    @login_required
    def answer(item: str) -> str:
        with engine.begin() as connection:
            connection.execute(
                UPSERT, {"person": current_user.id, "item": item, "answer": request.form["choice"]}
            )
        return app.extensions["said"]()

    app.extensions["said"] = lambda: "right"
    return app


def with_a_page(app: Flask) -> Flask:
    """The same, its form protected by a token and its answer a page from a template."""
    CSRFProtect(app)
    page = app.jinja_env.from_string(PAGE)
    app.extensions["said"] = lambda: page.render(token=generate_csrf(), user=current_user.id)
    app.view_functions["sign_in"] = lambda: (login_user(User("one")), app.extensions["said"]())[1]
    return app


PAGE = """<!doctype html>
<html lang="en"><head><title>Right</title></head>
<body><p>{{ user }}</p><h1>Right</h1>
<form method="post"><input type="hidden" name="csrf_token" value="{{ token }}">
<button>Next</button></form></body></html>"""


if __name__ == "__main__":
    made = small_app(sys.argv[1])
    serve(with_a_page(made) if ".page." in sys.argv[1] else made, int(sys.argv[2]))
