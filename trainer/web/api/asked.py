"""What a program asked, held against the description: places of all faults, or values."""

import re
from collections.abc import Mapping
from typing import Any

from flask import Request
from jsonschema_rs import Draft202012Validator, ValidationError

from trainer.core.records.strict_json import Repeated, read_json
from trainer.use_cases.refusals import InputProblem
from trainer.web.api.describe import JSON_TYPE, Json, Operation
from trainer.web.api.problems import Refused

MOST_BYTES = 100_000
MOST_FAULTS = 20
LONGEST_SAID = 200
WORDS = {
    "type": "is not of the right type",
    "pattern": "is not written as the description says",
    "format": "is no such day",
}
WHOLE = re.compile(r"-?(0|[1-9][0-9]{0,8})")


class Asked:
    """Reads the requests of one operation."""

    def __init__(self, operation: Operation, components: Json) -> None:
        self._operation = operation
        self._query = {one["name"]: one for one in operation.placed("query")}
        self._holds = {
            "query": _validator(_together(operation.placed("query")), components),
            "path": _validator(_together(operation.placed("path")), components),
        }
        self._body = _validator(operation.body, components) if operation.body else None

    def read(self, request: Request) -> dict[str, Any]:
        """Path, query and body in one. Raises Refused with every fault and its place."""
        path = dict(request.view_args or {})
        if not self._holds["path"].is_valid(path):
            raise Refused(404)
        query = self._from_query(request)
        faults = [_fault(one, "parameter") for one in self._holds["query"].iter_errors(query)]
        if faults:
            raise Refused(422, errors=faults[:MOST_FAULTS])
        usual = {n: p["schema"]["default"] for n, p in self._query.items() if _has_usual(p)}
        return usual | query | path | self._from_body(request)

    def _from_query(self, request: Request) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for name, values in request.args.lists():
            if len(values) > 1:
                said = "is given more than once"
                raise Refused(422, errors=[{"parameter": name, "detail": said}])
            whole = self._query.get(name, {}).get("schema", {}).get("type") == "integer"
            found[name] = _whole(values[0]) if whole else values[0]
        return found

    def _from_body(self, request: Request) -> dict[str, Any]:
        if self._body is None:
            return {}
        if request.mimetype != JSON_TYPE:
            raise Refused(415)
        request.max_content_length = MOST_BYTES
        try:
            sent = read_json(request.get_data(), "body")
        except Repeated:
            raise Refused(400, "The body cannot be read: a member stands twice.") from None
        except InputProblem as found:
            if found.what == "not one JSON object":
                told = [{"pointer": "", "detail": f"is {found.what}"}]
                raise Refused(422, errors=told) from None
            raise Refused(400, f"The body cannot be read: {found.what}.") from None
        faults = [_fault(one, "pointer") for one in self._body.iter_errors(sent)]
        if faults:
            raise Refused(422, errors=faults[:MOST_FAULTS])
        return sent


def _together(parameters: Any) -> Json:
    return {
        "type": "object",
        "properties": {one["name"]: one["schema"] for one in parameters},
        "required": [one["name"] for one in parameters if one.get("required")],
        "additionalProperties": False,
    }


def _validator(schema: Json, components: Json) -> Draft202012Validator:
    whole = {"allOf": [schema], "components": components}
    return Draft202012Validator(whole, validate_formats=True)


def _has_usual(parameter: Json) -> bool:
    return "default" in parameter["schema"]


def _whole(value: str) -> int | str:
    return int(value) if WHOLE.fullmatch(value) else value


def _fault(error: ValidationError, place: str) -> Mapping[str, str]:
    parts = [str(part) for part in error.instance_path]
    detail, inside = _words(error)
    parts += inside
    if place == "parameter":
        return {"parameter": parts[0] if parts else "", "detail": detail}
    return {"pointer": "".join(f"/{_escaped(part)}" for part in parts), "detail": detail}


def _words(error: ValidationError) -> tuple[str, list[str]]:
    """What is wrong in plain words, and the member that it is about where that is missing."""
    kind, more = error.kind.name, error.kind.as_dict()
    if kind == "required":
        return "is missing", [str(more["property"])]
    if kind == "additionalProperties":
        return "is not asked for here", [str(one) for one in more["unexpected"][:1]]
    if kind == "enum":
        return "is not one of " + ", ".join(map(str, more["options"])), []
    return WORDS.get(kind) or str(error.message)[:LONGEST_SAID], []


def _escaped(part: str) -> str:
    return part.replace("~", "~0").replace("/", "~1")
