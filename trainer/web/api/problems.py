"""Refusals of the JSON service as problem reports (RFC 9457)."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from flask import Response, request, url_for

ADDRESS = "/api/v1"
PROBLEM_TYPE = "application/problem+json"


@dataclass(frozen=True)
class Kind:
    """A kind of problem: its code for programs, its title and usual words for people."""

    code: str
    title: str
    detail: str


KINDS = {
    400: Kind("unreadable", "Not readable", "The request cannot be read."),
    401: Kind(
        "no-access-code",
        "No access code",
        "Send an access code that is open, as 'Authorization: Bearer CODE'.",
    ),
    403: Kind("wrong-purpose", "Not for this purpose", "This access code is for something else."),
    404: Kind("nothing-here", "Nothing here", "There is no such thing, or it is somebody else's."),
    405: Kind("wrong-verb", "Not that verb", "This address does not take that kind of request."),
    406: Kind("wrong-accept", "Only JSON", "This service answers in JSON only; accept that."),
    413: Kind("too-large", "Too large", "Send less at once."),
    415: Kind("wrong-type", "Not JSON", "Send the body as application/json."),
    422: Kind("wrong-shape", "Something to mend", "See 'errors' for what to mend and where."),
    429: Kind("too-many", "Too many requests", "Wait for the seconds in 'Retry-After'."),
    500: Kind("our-mistake", "Our mistake", "Nothing of yours is wrong. Try again in a moment."),
}


class Refused(Exception):
    """A request that is refused with one of the kinds above."""

    def __init__(
        self,
        status: int,
        detail: str = "",
        errors: Sequence[Mapping[str, str]] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.status, self.detail, self.errors = status, detail, errors
        self.headers = dict(headers or {})

    def answer(self) -> Response:
        """The report as an answer."""
        return problem(self.status, self.detail, self.errors, self.headers)


def problem(
    status: int,
    detail: str = "",
    errors: Sequence[Mapping[str, str]] = (),
    headers: Mapping[str, str] | None = None,
) -> Response:
    """A report of one kind; 'type' leads to the words about it on our page."""
    kind = KINDS.get(status, KINDS[400])
    said: dict[str, Any] = {
        "type": url_for("api.guide", _anchor=kind.code),
        "title": kind.title,
        "status": status,
        "detail": detail or kind.detail,
        "code": kind.code,
    }
    if errors:
        said["errors"] = [dict(one) for one in errors]
    return Response(json.dumps(said), status, dict(headers or {}), content_type=PROBLEM_TYPE)


def speaks_here() -> bool:
    """Whether this request is for the service, so that refusals are reports and not pages."""
    return request.path == ADDRESS or request.path.startswith(f"{ADDRESS}/")
