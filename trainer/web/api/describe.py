"""The description of the service (OpenAPI 3.1), put together from its parts."""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import Any, get_args

from trainer.core.records.asked import Answer, Ground
from trainer.core.records.standing import Word
from trainer.use_cases import follow_changes
from trainer.web.api.problems import KINDS

Json = dict[str, Any]
JSON_TYPE, PROBLEM_TYPE = "application/json", "application/problem+json"
ALWAYS = (401, 403, 404, 405, 406, 422, 429, 500)
WITH_A_BODY = (400, 413, 415)


WORDS = {
    ("Reason", "ground"): get_args(Ground),
    ("Clearance", "answer"): get_args(Answer),
    ("Standing", "standing"): get_args(Word),
    ("Change", "kind"): tuple(dict.fromkeys(follow_changes.TOLD.values())),
}
"""What a part of a shape may say, where the words stand elsewhere."""


@dataclass(frozen=True)
class Operation:
    """One address and verb: which purposes open it, what it takes, what it gives."""

    id: str
    path: str
    verb: str
    purposes: Sequence[str]
    summary: str
    description: str
    parameters: Sequence[Json]
    body: Json | None
    gives: str
    media_type: str

    @property
    def rule(self) -> str:
        """The path as the router writes it."""
        return self.path.replace("{", "<").replace("}", ">")

    def placed(self, place: str) -> Sequence[Json]:
        """The parameters in 'query', 'path' or 'header'."""
        return [one for one in self.parameters if one["in"] == place]


@dataclass(frozen=True)
class Description:
    """The document as it is served, and its operations."""

    document: Json
    operations: Sequence[Operation]


def describe(methods: Mapping[str, str]) -> Description:
    """Put the parts together. `methods`: {id: name} of the bank."""
    document, shapes, paths = _read("service"), _read("shapes"), _read("operations")
    shapes["Method"]["enum"] = list(methods)
    shapes["Method"]["description"] += " " + "; ".join(f"{i}: {n}" for i, n in methods.items())
    for (shape, part), words in WORDS.items():
        shapes[shape]["properties"][part]["enum"] = list(words)
    document["components"]["schemas"] = shapes
    named = document["components"]["parameters"]
    operations = [
        _operation(path, verb, told, named)
        for path, verbs in paths.items()
        for verb, told in verbs.items()
    ]
    for one in operations:
        told = paths[one.path][one.verb]
        told["responses"] = dict(_responses(one)) | told.get("responses", {})
        told["security"] = [{"code": []}]
        told.pop("x-gives"), told.pop("x-type", None)
    document["paths"] = paths
    return Description(document, operations)


def _operation(path: str, verb: str, told: Json, named: Json) -> Operation:
    given = [
        named[one["$ref"].rsplit("/", 1)[1]] if "$ref" in one else one
        for one in told.get("parameters", [])
    ]
    body = told.get("requestBody")
    return Operation(
        told["operationId"],
        path,
        verb,
        tuple(told["x-purpose"]),
        told["summary"],
        told.get("description", ""),
        given,
        body["content"][JSON_TYPE]["schema"] if body else None,
        told["x-gives"],
        told.get("x-type", JSON_TYPE),
    )


def _responses(operation: Operation) -> Iterator[tuple[str, Json]]:
    schema = {"$ref": f"#/components/schemas/{operation.gives}"}
    yield "200", {"description": "Found", "content": {operation.media_type: {"schema": schema}}}
    for code in sorted((*ALWAYS, *(WITH_A_BODY if operation.body else ()))):
        content = {PROBLEM_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}}
        yield str(code), {"description": KINDS[code].title, "content": content}


def _read(name: str) -> Json:
    place = files("trainer.web.api").joinpath("description", f"{name}.toml")
    return tomllib.loads(place.read_text(encoding="utf-8"))
