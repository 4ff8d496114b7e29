"""Ask to be taken out of the site; decide when, with the reason; call it back until it is done.

General Data Protection Regulation (EU) 2016/679, from memory of its text: article 17 (erasure), and
12(3), an answer within one month of the request. `erase_person` does it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from trainer.store import appeals, erasures, people, records, sittings
from trainer.store.erasures import ErasureRow
from trainer.store.personal import count_about
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

LONGEST_DAYS = 28
"""From the request to the deed: within a month, whichever month it is."""
SHARED_DAYS = 7
"""At least so long where other houses are concerned: they may call it back."""
REASON = Letters(10, 500)
MOST = 50


@dataclass(frozen=True, slots=True)
class Wish:
    """An open wish as an administrator sees it.

    `last_day`: a month is over then. `held`: how many rows of each table are about them.
    `open_matters`: what is still being decided about them. `elsewhere`: other houses that know
    them. `refused`: why the viewer may not decide, '' if they may.
    """

    id: str
    name: str
    email: str
    own: bool
    asked_at: datetime
    last_day: date
    due_on: date | None
    why: str
    held: Mapping[str, int]
    open_matters: Sequence[str]
    elsewhere: Sequence[str]
    refused: str


def ask(unit: Unit, now: datetime) -> None:
    """The viewer asks to be taken out; once is enough. Raises Forbidden, InputProblem."""
    if not unit.viewer.person_id:
        raise Forbidden
    enter(unit, unit.viewer.person_id, now)


def ask_for(unit: Unit, person_id: str, now: datetime) -> str:
    """An administrator enters the wish of a member who has it in writing; gives its id.

    Only for somebody whom no other house knows; they themselves may ask in any case. Raises
    NotFound, Forbidden, InputProblem.
    """
    unit.viewer.must_be("administrator")
    people.member(unit, person_id)
    if person_id != unit.viewer.person_id and _elsewhere(unit, person_id):
        raise InputProblem(
            "They belong to other houses too, so only they can ask",
            "person",
            "They do it on their own page; or whoever runs the machine does it.",
        )
    return enter(unit, person_id, now).id


def enter(unit: Unit, person_id: str, now: datetime) -> ErasureRow:
    """The open wish of a person, made where there is none. Raises InputProblem."""
    must_not_be_last(unit, person_id)
    row = erasures.pending(unit, person_id)
    if row is None:
        row = ErasureRow(
            person_id=person_id,
            pending=person_id,
            entered_by=unit.viewer.person_id,
            asked_at=now,
        )
        erasures.keep(unit, row)
        _log(unit, "erasure.asked", row, now)
    return row


def must_not_be_last(unit: Unit, person_id: str) -> None:
    """Raises InputProblem for the only administrator of a house."""
    for membership, place in people.memberships_of(unit, person_id):
        others = people.with_role(unit, place.id, ["administrator"]) - {person_id}
        if "administrator" in membership.roles and not others:
            raise InputProblem(
                f"{place.name} has no other administrator",
                "person",
                "Somebody else has to become administrator there first.",
            )


def take_back(unit: Unit, now: datetime) -> None:
    """The viewer would rather stay. Raises NotFound where nothing is open."""
    row = erasures.pending(unit, unit.viewer.person_id)
    if row is None:
        raise NotFound
    _end(unit, row, "", now)


def mine(unit: Unit) -> ErasureRow | None:
    """The viewer's last wish, or None."""
    return erasures.latest(unit, unit.viewer.person_id)


def waiting(unit: Unit) -> list[Wish]:
    """Open wishes of people of the viewer's house, oldest first. Raises Forbidden."""
    unit.viewer.must_be("administrator")
    return [_shown(unit, row) for row in erasures.waiting(unit)]


def waiting_anywhere(unit: Unit) -> list[dict[str, str]]:
    """Every open wish, also of those whom no organisation knows; for whoever runs the machine."""
    return [
        {
            "id": row.person_id,
            "email": people.person(unit, row.person_id).email,
            "asked_on": row.asked_at.date().isoformat(),
            "to_be_done_by": last_day(row).isoformat(),
        }
        for row in erasures.waiting_anywhere(unit)
    ]


def done_here(unit: Unit) -> Sequence[ErasureRow]:
    """What was carried out in the viewer's house, newest first. Raises Forbidden."""
    unit.viewer.must_be("administrator")
    return erasures.done_here(unit, MOST)


def see(unit: Unit, erasure_id: str) -> Wish:
    """One open wish. Raises NotFound, Forbidden."""
    unit.viewer.must_be("administrator")
    return _shown(unit, erasures.in_sight(unit, erasure_id))


def set_day(unit: Unit, erasure_id: str, days: int, why: str, now: datetime) -> None:
    """Decide that it will be done, not before so many days from now, and why so many.

    Raises NotFound, Forbidden, InputProblem naming the field.
    """
    row = to_decide(unit, erasure_id)
    least = SHARED_DAYS if _elsewhere(unit, row.person_id) else 0
    if days < least:
        raise InputProblem(
            f"Other houses know them too, and may call it back within {least} days",
            "days",
            f"Choose {least} days at least.",
        )
    due = now.date() + timedelta(days=days)
    if days > least and due > last_day(row):
        raise InputProblem(
            "That is later than a month after they asked", "days", "Choose fewer days."
        )
    row.due_on, row.why = due, REASON.read(why, "why", "Say why then")
    row.decided_by, row.decided_at = unit.viewer.person_id, now
    _log(unit, "erasure.set", row, now, due_on=due.isoformat())


def call_back(unit: Unit, erasure_id: str, why: str, now: datetime) -> None:
    """Stop it before it is done; the person reads why. Raises NotFound, Forbidden, InputProblem."""
    row = to_decide(unit, erasure_id)
    _end(unit, row, REASON.read(why, "ended_why", "Say why not"), now)


def to_decide(unit: Unit, erasure_id: str) -> ErasureRow:
    """An open wish that the viewer may decide about. Raises NotFound, Forbidden, InputProblem."""
    unit.viewer.must_be("administrator")
    row = erasures.in_sight(unit, erasure_id)
    refused = _refused(unit, row)
    if refused:
        raise Forbidden(refused)
    must_not_be_last(unit, row.person_id)
    return row


def last_day(row: ErasureRow) -> date:
    """The last day on which it is still within a month."""
    return (row.asked_at + timedelta(days=LONGEST_DAYS)).date()


def held_about(unit: Unit, person_id: str) -> dict[str, int]:
    """How many rows of each table are about a person, where there are any."""
    return {name: count for name, count in count_about(unit, person_id).items() if count}


def _elsewhere(unit: Unit, person_id: str) -> list[str]:
    """The names of other houses that know a person, or knew them."""
    here = unit.viewer.organisation_id
    return [place.name for place in people.organisations_of(unit, person_id) if place.id != here]


def _refused(unit: Unit, row: ErasureRow) -> str:
    own = row.person_id == unit.viewer.person_id
    return "This is about you. Another administrator has to do it." if own else ""


def _shown(unit: Unit, row: ErasureRow) -> Wish:
    person = people.person(unit, row.person_id)
    return Wish(
        row.id,
        person.name,
        person.email,
        row.entered_by == row.person_id,
        row.asked_at,
        last_day(row),
        row.due_on,
        row.why,
        held_about(unit, person.id),
        tuple(_open_matters(unit, person.id)),
        _elsewhere(unit, person.id),
        _refused(unit, row),
    )


def _open_matters(unit: Unit, person_id: str) -> list[str]:
    """What a waiting time may be for."""
    found = [
        ("an appeal or complaint of theirs is not answered", appeals.open_of(unit, person_id)),
        ("an assessment is being sat", sittings.open_of(unit, person_id)),
        (
            "a record of theirs is suspended",
            any(one.state == "suspended" for one in records.held(unit, person_id)),
        ),
    ]
    return [words for words, is_so in found if is_so]


def _end(unit: Unit, row: ErasureRow, why: str, now: datetime) -> None:
    row.pending, row.ended_by, row.ended_at, row.ended_why = None, unit.viewer.person_id, now, why
    _log(unit, "erasure.called_back", row, now)


def _log(unit: Unit, kind: str, row: ErasureRow, now: datetime, **more: str) -> None:
    log(unit, kind, {"erasure": row.id, **more}, now, person_id=row.person_id)
