"""Learning events as xAPI statements (IEEE 9274.1.1; xAPI 2.0, and 1.0.3 for older stores).

A statement is never changed. Its id is a UUID worked out from the event *and* from everything the
statement says (RFC 9562, version 5), so that the same event written twice is the same statement,
and one whose outcome has changed is another: the old one is then voided by a statement of its own.

Persons are accounts: our home page and an opaque id, never a name or an e-mail address. Of a
question only its kind is told, never its words or key: questions are used again.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import UUID, uuid5

import rfc8785

Statement = dict[str, Any]
VERSION = "2.0.0"
NAMESPACE = UUID("0d7a6f0e-3f6b-4c57-9a59-5f6f3b0c8f1d")
"""Of the ids of our statements; made once at random."""
VERBS = "http://adlnet.gov/expapi/verbs/"
ACTIVITIES = "http://adlnet.gov/expapi/activities/"
INTERACTION = f"{ACTIVITIES}cmi.interaction"
INTERACTIONS = {
    "choose_one": "choice",
    "choose_all": "choice",
    "put_in_order": "sequencing",
    "number": "numeric",
    "date": "fill-in",
    "point_at_figure": "choice",
    "consultation": "performance",
}
"""Our item types as the standard's interaction types."""
BETWEEN, WITHIN = "[,]", "[.]"
"""What stands between the parts of a response, and between a step and what was done in it."""
LANGUAGE = "en-GB"


@dataclass(frozen=True, slots=True)
class Home:
    """Whose statements these are: the site's own address, without a slash at its end, and the id of
    the organisation that speaks where no person does."""

    address: str
    organisation: str

    def activity(self, *parts: str) -> str:
        """The IRI of an activity of ours."""
        return "/".join((self.address, "activities", *parts))

    def person(self, person_id: str) -> dict[str, Any]:
        """A person as an account of ours."""
        account = {"homePage": self.address, "name": person_id}
        return {"objectType": "Agent", "account": account}


@dataclass(frozen=True, slots=True)
class Answered:
    """One marked answer.

    `item` names the question as it was shown to this person; `type` is one of our item types;
    `response` as the item type reads it, None where nothing was answered; `score` 0..1. `sitting`
    is the id of the assessment's sitting, '' in practice.
    """

    item: str
    person: str
    method: str
    topic: str
    family: str
    type: str
    response: Any
    score: float
    right: bool
    critical_error: bool
    at: datetime
    sitting: str = ""


@dataclass(frozen=True, slots=True)
class Sat:
    """One finished sitting: `score` of `most` points reached, `cut` needed."""

    id: str
    person: str
    method: str
    opened_at: datetime
    finished_at: datetime
    score: int
    most: int
    cut: int
    passed: bool


@dataclass(frozen=True, slots=True)
class Watched:
    """Work that was watched at the chair and met every critical criterion."""

    id: str
    person: str
    observer: str
    method: str
    service: str
    at: datetime


def answered(home: Home, one: Answered) -> Statement:
    """Say that a question was answered.

    Parameters
    ----------
    home : Whose statement it is.
    one : The answer.

    Returns
    -------
    One statement, with its id.
    """
    definition = {"type": INTERACTION, "interactionType": INTERACTIONS[one.type]}
    result: dict[str, Any] = {"score": {"scaled": round(one.score, 4)}, "success": one.right}
    if one.response is not None:
        result["response"] = write_response(one.type, one.response)
    if one.critical_error:
        result["extensions"] = {home.activity("critical-error"): True}
    above = [home.activity("families", one.family)]
    context = _context(home, one.method, above, one.sitting)
    context["contextActivities"]["grouping"] += [_activity(home.activity("topics", one.topic))]
    return _statement(
        f"answered:{one.item}",
        home.person(one.person),
        "answered",
        _activity(home.activity("questions", one.item), definition),
        result,
        context,
        one.at,
    )


def sat(home: Home, one: Sat) -> Sequence[Statement]:
    """Say that a sitting was held: initialized, completed, terminated.

    Parameters
    ----------
    home : Whose statements they are.
    one : The sitting.

    Returns
    -------
    Three statements in that order. They hold whatever is decided; `decided` says that.
    """
    said = [
        ("initialized", {}, one.opened_at),
        ("completed", {"completion": True, **_lasted(one)}, one.finished_at),
        ("terminated", _lasted(one), one.finished_at),
    ]
    return [_of_sitting(home, one, verb, verb, result, at) for verb, result, at in said]


def decided(home: Home, one: Sat, number: int) -> Statement:
    """Say what was decided on a sitting: passed or failed.

    Parameters
    ----------
    home : Whose statement it is.
    one : The sitting, as it stood with this decision.
    number : Which decision on it this is, from 1; a later one takes the place of an earlier.

    Returns
    -------
    One statement. Without any point to reach there is no score.
    """
    result: dict[str, Any] = {"success": one.passed, **_lasted(one)}
    if one.most > 0:
        points = {"scaled": round(one.score / one.most, 4), "raw": one.score, "min": 0}
        result["score"] = points | {"max": one.most}
        result["extensions"] = {home.activity("points-needed"): one.cut}
    verb = "passed" if one.passed else "failed"
    return _of_sitting(home, one, f"decided:{number}", verb, result, one.finished_at)


def watched(home: Home, one: Watched) -> Statement:
    """Say that watched work was signed off, with the observer as instructor.

    Parameters
    ----------
    home : Whose statement it is.
    one : The work.

    Returns
    -------
    One statement, with its id.
    """
    context = _context(home, one.method, [], "")
    context["instructor"] = home.person(one.observer)
    return _statement(
        f"watched:{one.id}",
        home.person(one.person),
        "passed",
        _activity(
            home.activity("services", one.method, one.service), {"type": f"{ACTIVITIES}performance"}
        ),
        {"success": True},
        context,
        one.at,
    )


def voided(home: Home, statement_id: str, at: datetime) -> Statement:
    """Take a statement back.

    Parameters
    ----------
    home : Whose statement it is: ours, not a person's.
    statement_id : The id of the statement that holds no more.
    at : When that was found.

    Returns
    -------
    The voiding statement. Its id does not depend on `at`: a statement is voided once.
    """
    return {
        "id": str(uuid5(NAMESPACE, f"voided:{statement_id}")),
        "actor": home.person(home.organisation),
        "verb": _verb("voided"),
        "object": {"objectType": "StatementRef", "id": statement_id},
        "timestamp": _moment(at),
    }


def write_response(item_type: str, response: Any) -> str:
    """Write a response as the standard's interaction types have it.

    Parameters
    ----------
    item_type : One of our item types.
    response : As that item type reads it.

    Returns
    -------
    The text: ids joined by '[,]', a number, a day, or steps with what was decided in them.
    """
    if item_type == "consultation":
        return BETWEEN.join(f"{name}{WITHIN}{text}" for name, text in _steps(response))
    if isinstance(response, list):
        return BETWEEN.join(map(str, response))
    if isinstance(response, int | float):
        return f"{response:.12g}"
    return str(response)


def write_duration(seconds: float) -> str:
    """Write a length of time by ISO 8601.

    Parameters
    ----------
    seconds : 0 or more; hundredths are kept, as the standard compares no finer.

    Returns
    -------
    'PT1830S', 'PT0.25S'.

    Raises
    ------
    ValueError : If it is negative.
    """
    if seconds < 0:
        raise ValueError(f"{seconds=}")
    return f"PT{f'{seconds:.2f}'.rstrip('0').rstrip('.')}S"


def _lasted(one: Sat) -> dict[str, Any]:
    return {"duration": write_duration((one.finished_at - one.opened_at).total_seconds())}


def _of_sitting(
    home: Home, one: Sat, event: str, verb: str, result: Mapping[str, Any], at: datetime
) -> Statement:
    kind = {"type": f"{ACTIVITIES}assessment"}
    return _statement(
        f"sitting:{one.id}:{event}",
        home.person(one.person),
        verb,
        _activity(home.activity("assessments", one.method), kind),
        result,
        _context(home, one.method, [], one.id),
        at,
    )


def _steps(response: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    yield "findings", " ".join(response.get("findings") or ())
    decision = response.get("decision") or {}
    yield "decision", " ".join(f"{method}:{verdict}" for method, verdict in decision.items())
    yield "plan", str((response.get("plan") or {}).get("method") or "none")


def _statement(
    event: str,
    actor: Mapping[str, Any],
    verb: str,
    what: Mapping[str, Any],
    result: Mapping[str, Any],
    context: Mapping[str, Any],
    at: datetime,
) -> Statement:
    said: Statement = {"actor": actor, "verb": _verb(verb), "object": what}
    said |= {"result": result} if result else {}
    said |= {"context": context, "timestamp": _moment(at)}
    text = rfc8785.dumps(said).decode("utf-8")
    return {"id": str(uuid5(NAMESPACE, f"{event}\n{text}")), **said}


def _context(home: Home, method: str, above: Sequence[str], sitting: str) -> dict[str, Any]:
    parents = [*above, *([home.activity("assessments", method)] if sitting else [])]
    activities = {"grouping": [_activity(home.activity("methods", method))]}
    if parents:
        activities["parent"] = [_activity(one) for one in parents]
    context: dict[str, Any] = {"contextActivities": activities, "language": LANGUAGE}
    return context | ({"registration": str(UUID(sitting))} if sitting else {})


def _activity(iri: str, definition: Mapping[str, Any] | None = None) -> dict[str, Any]:
    return {"id": iri, **({"definition": dict(definition)} if definition else {})}


def _verb(name: str) -> dict[str, Any]:
    return {"id": f"{VERBS}{name}", "display": {"en": name}}


def _moment(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
