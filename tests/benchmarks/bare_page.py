"""A bare signed-in page, against which others are measured: the frame around nothing."""

from flask import Flask, render_template

from trainer.use_cases.roles import ASKERS
from trainer.web.access import who_may

BARE = "/bench/bare"
TEXT = (
    "{% extends 'base.html' %}{% block title %}Bare{% endblock %}"
    "{% block main %}<h1>Bare</h1>{% endblock %}"
)


def put_bare_page(app: Flask) -> None:
    """Put it into an app. Its template is read once, as those of all other pages are."""
    template = app.jinja_env.from_string(TEXT)

    @app.get(BARE)
    @who_may(*ASKERS)
    def bench_bare() -> str:
        return render_template(template)
