"""Answers in practice as the store keeps them, for tests that need many at once."""

from sqlalchemy import insert

from tests.support.people import NOW
from trainer.store.base import new_id
from trainer.store.practice import ResponseRow, ShownItemRow


def an_answer(person, organisation, family, right, kept, at=NOW, **more):
    """One answer: the row of the scenario shown, and the row of the response to it.

    `family`: its id, method and topic. `more`: columns of either row that are not as usual.
    """
    name, method, topic = family
    item_id = new_id()
    common = {
        "person_id": person,
        "organisation_id": organisation,
        "method": method,
        "topic": topic,
        "family": name,
    }
    shown = {"id": item_id, "kept": kept, "shown_at": at, "content": "", "again": False}
    response = {
        "item_id": item_id,
        "response": ["a"],
        "score": float(right),
        "right": bool(right),
        "critical_error": False,
        "misconceptions": [],
        "wrong": [],
        "answered_at": at,
    }
    return (
        common | {name: more.get(name, value) for name, value in shown.items()},
        common | {name: more.get(name, value) for name, value in response.items()},
    )


def keep_all(unit, answers):
    """Keep many answers at once."""
    shown, responses = zip(*answers, strict=True)
    unit.session.execute(insert(ShownItemRow), list(shown))
    unit.session.execute(insert(ResponseRow), list(responses))
