"""Serve what the description promises: one route an operation, refusals as problem reports."""

import hashlib
import json
from typing import Any

from flask import Blueprint, Flask, Response, current_app, request
from flask_wtf import CSRFProtect

from trainer.web.access import ANYONE, BY_CODE, who_may
from trainer.web.api.answers import ANSWERS
from trainer.web.api.asked import Asked
from trainer.web.api.describe import JSON_TYPE, Description, Operation, describe
from trainer.web.api.gate import Allowance, caller
from trainer.web.api.problems import ADDRESS, PROBLEM_TYPE, Refused
from trainer.web.house import house

ROOM = "for_programs"
DESCRIPTION = "trainer.description"
AN_HOUR = "public, max-age=3600"


def serve_programs(app: Flask, csrf: CSRFProtect) -> None:
    """Put the service into an app. Its codes come in a header, so no form token is asked for."""
    bank = app.extensions["trainer"].bank
    found = describe({method.id: method.name for method in bank.methods.values()})
    app.extensions[DESCRIPTION] = found
    calls, allowance = Blueprint(ROOM, __name__, url_prefix=ADDRESS), Allowance()
    for operation in found.operations:
        calls.add_url_rule(
            operation.rule,
            operation.id,
            _view(operation, found, allowance),
            methods=[operation.verb.upper()],
            provide_automatic_options=False,
        )
    calls.add_url_rule("/openapi.json", "openapi", _served(found))
    calls.register_error_handler(Refused, lambda refused: refused.answer())
    csrf.exempt(calls)
    app.register_blueprint(calls)


def description() -> Description:
    """The current app's."""
    found: Description = current_app.extensions[DESCRIPTION]
    return found


def _view(operation: Operation, found: Description, allowance: Allowance) -> Any:
    asked = Asked(operation, found.document["components"])
    answer = ANSWERS[operation.id]

    @who_may(BY_CODE)
    def view(**_: str) -> Response:
        _must_accept(operation.media_type)
        access = caller(request, tuple(operation.purposes), allowance)
        given = asked.read(request)
        with house().work.reading(access.viewer) as unit:
            said = answer(unit, given)
        if isinstance(said, str):
            return _kept(Response(said, content_type=operation.media_type))
        return Response(json.dumps(said, ensure_ascii=False), content_type=JSON_TYPE)

    return view


def _must_accept(media_type: str) -> None:
    wanted = request.accept_mimetypes
    if "Accept" in request.headers and not wanted.best_match([media_type, PROBLEM_TYPE, JSON_TYPE]):
        raise Refused(406)


def _kept(answer: Response) -> Response:
    """With its ETag, so that who has it already need not be sent it again."""
    answer.set_etag(hashlib.sha256(answer.get_data()).hexdigest())
    answer.make_conditional(request)
    return answer


def _served(found: Description) -> Any:
    text = json.dumps(found.document, ensure_ascii=False)

    @who_may(ANYONE)
    def openapi() -> Response:
        """The description itself: it holds nobody's data."""
        answer = Response(text, content_type=JSON_TYPE)
        answer.headers["Cache-Control"] = AN_HOUR
        return _kept(answer)

    return openapi
