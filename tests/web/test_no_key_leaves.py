"""Whatever the key is, everything served during a sitting is the same, byte for byte."""

import re

import pytest

from tests.support.admitted import opened
from tests.support.people import a_person
from tests.support.plain_bank import METHOD, answer_to, plain_bank
from trainer import clock
from trainer.core.marking.accommodation import Accommodation
from trainer.store import sittings
from trainer.store.sittings import SittingItemRow

CHANGING = re.compile(
    r'name="(csrf_token|submission_id)" value="[^"]*"|data-clock="\d+"|\d+ minutes left'
    r'|"at":\s?"[^"]*"'
)

pytestmark = pytest.mark.usefixtures("plain_questions")
START = f"/assessments/{METHOD}"
OTHER_DATE = "2031-12-30"


def other(kept):
    """The same item, so far as it is shown, with every hidden thing about it another one."""
    kind, key = kept["type"], kept["key"]
    letters = [option["id"] for option in kept["options"]]
    keys = {
        "choose_one": lambda: [next(one for one in letters if one not in key)],
        "point_at_figure": lambda: [next(one for one in letters if one not in key)],
        "choose_all": lambda: [one for one in letters if one not in key],
        "put_in_order": lambda: {
            "steps": key["steps"][::-1],
            "pairs": [pair[::-1] for pair in key["pairs"]],
        },
        "number": lambda: key | {"value": 977.0, "tolerance": 31.0},
        "date": lambda: OTHER_DATE,
    }
    hidden = {
        "key": keys[kind](),
        "explanation": "hidden words",
        "notes": {"a": "hidden note"},
        "misconceptions": {},
        "critical": not kept["critical"],
        "givens": {"hidden": 1},
        "facts": ["hidden.fact"],
        "features": {"hidden": 9.0},
    }
    return kept | hidden


def served(page, address, rows):
    """Everything that a sitter can be served: pages, answers kept and refused, pauses, ends."""
    client, said = page.client, []

    def keep(answer):
        said.append((answer.status_code, CHANGING.sub("", answer.get_data(as_text=True))))
        said.append(tuple(sorted((k, v) for k, v in answer.headers if k in ("Location", "ETag"))))

    for path in ("/assessments", START, address, f"{address}/finish", f"{address}/result"):
        keep(client.get(path))
    for row in rows:
        at = f"{address}/{row.position}"
        keep(client.get(at))
        sent = answer_to(row.kept)
        for headers in ({}, {"Accept": "application/json"}):
            keep(client.post(f"{at}/answer", data=sent, headers=headers))
        bad = {"choice": ["zz"], "value": ["many"], "date": ["never"]}
        keep(client.post(f"{at}/answer", data=bad, headers={"Accept": "application/json"}))
        keep(client.post(f"{at}/answer", data=bad | {"number": [str(row.position)]}))
        keep(client.get(at))
        keep(client.get(f"{address}/result/{row.position}"))
    keep(client.post(f"{address}/1/flag", data={"flagged": "yes", "next": "1"}))
    keep(client.get(f"{address}/finish"))
    return said


def test_what_is_served_does_not_hang_on_the_key(sqlite_work, visit):
    someone = a_person(sqlite_work)
    granted = Accommodation(0, 2, 10)
    opened(sqlite_work, plain_bank(), someone, METHOD, granted, now=clock.now())
    page = visit(someone)
    address = page.client.post(START).location
    sitting_id = address.rpartition("/")[2]
    with sqlite_work.reading(someone.viewer) as unit:
        rows = list(sittings.items(unit, sitting_id))
    assert {row.kept["type"] for row in rows} >= {"choose_one", "choose_all"}
    served(page, address, rows)
    first = served(page, address, rows)
    with sqlite_work.writing(someone.viewer) as unit:
        for row in rows:
            there = unit.session.get(SittingItemRow, (sitting_id, row.position))
            there.kept = other(row.kept)
    second = served(page, address, rows)
    assert len(first) > 400
    assert first == second
