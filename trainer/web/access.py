"""Who may open which page: closed unless a page says who."""

from collections.abc import Callable
from typing import Any, Final, Literal, TypeVar

from flask import Flask, abort, current_app, redirect, request, url_for
from flask_login import current_user
from werkzeug.wrappers import Response

from trainer.use_cases.roles import Role

View = TypeVar("View", bound=Callable[..., Any])
ANYONE: Final = "anyone"
SIGNED_IN: Final = "signed in"
BY_CODE: Final = "by access code"
Opening = Literal["anyone", "signed in", "by access code"]


def who_may(*roles: Role | Opening) -> Callable[[View], View]:
    """Say who may open a page: roles, `ANYONE`, or `SIGNED_IN` for whoever has signed in.

    `BY_CODE`: other programs, whose access code the view itself looks at; cookies are not read.
    """

    def mark(view: View) -> View:
        view.who_may = roles  # type: ignore[attr-defined]
        return view

    return mark


def close_by_default(app: Flask) -> None:
    """Put the gate before every request."""
    app.before_request(_gate)
    app.view_functions["static"].who_may = (ANYONE,)  # type: ignore[union-attr]


def _gate() -> Response | None:
    view = current_app.view_functions.get(request.endpoint or "")
    if view is None:
        return None
    roles: tuple[str, ...] = getattr(view, "who_may", ())
    if not roles:
        abort(404)
    if ANYONE in roles or BY_CODE in roles:
        return None
    if not current_user.is_authenticated:
        here = request.full_path.rstrip("?") if request.method == "GET" else None
        return redirect(url_for("sign_in.sign_in", next=here))
    if SIGNED_IN not in roles and not current_user.viewer.is_a(*roles):
        abort(403)
    return None
