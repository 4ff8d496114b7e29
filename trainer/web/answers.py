"""Problems as pages: what is wrong, where, and what to do."""

from flask import Flask, current_app, jsonify, make_response, render_template, request
from flask.typing import ResponseReturnValue
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException, MethodNotAllowed, RequestEntityTooLarge

from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.web.api.problems import problem, speaks_here

MEGABYTE = 1024 * 1024
WORDS = {
    400: ("That did not work", "Something in the request cannot be used."),
    403: ("Not open to you", "Ask an administrator if you should be able to do this."),
    404: ("Nothing here", "There is no such page, or it belongs to somebody else."),
    405: ("Nothing here", "This address does not take that kind of request."),
    413: ("Too large", "Send a smaller file."),
    500: ("Our mistake", "Nothing of what you saved before is lost. Try again in a moment."),
}


def answer_problems(app: Flask) -> None:
    """Register a page for every kind of problem."""
    app.register_error_handler(InputProblem, _input_problem)
    app.register_error_handler(NotFound, lambda _: _page(404))
    app.register_error_handler(Forbidden, lambda problem: _page(403, problem.why))
    app.register_error_handler(CSRFError, lambda _: _page(400, EXPIRED))
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _ours)


EXPIRED = "This page was open too long. Go back, load it again and send it once more."


def _input_problem(problem: InputProblem) -> ResponseReturnValue:
    return _page(400, f"{problem.where}: {problem.what}. {problem.remedy}")


def _http(problem: HTTPException) -> ResponseReturnValue:
    answer = make_response(_page(problem.code or 500, _too_large(problem)))
    if isinstance(problem, MethodNotAllowed) and problem.valid_methods:
        answer.headers["Allow"] = ", ".join(sorted(problem.valid_methods))
    return answer


def _too_large(problem: HTTPException) -> str:
    most = (request.max_content_length or 0) // MEGABYTE
    if not isinstance(problem, RequestEntityTooLarge) or not most:
        return ""
    return f"At most {most} MB are taken at once. Go back and send a smaller file."


def _ours(problem: Exception) -> ResponseReturnValue:
    current_app.logger.error("unexpected", exc_info=problem)
    if current_app.testing:
        raise problem
    return _page(500)


def _page(code: int, said: str = "") -> ResponseReturnValue:
    if speaks_here():
        return problem(code, said)
    title, words = WORDS.get(code, WORDS[400])
    if request.accept_mimetypes.best == "application/json":
        return jsonify({"error": title, "what": said or words}), code
    return render_template("problem.html", title=title, words=said or words), code
