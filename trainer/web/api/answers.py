"""What each operation answers: values in, JSON out. The shapes are those of the description."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from datetime import UTC, date, datetime
from typing import Any

from trainer import clock
from trainer.core.records.standing import Standing
from trainer.use_cases import clear_for_service, follow_changes, keep_diary, list_records, list_team
from trainer.use_cases.clear_for_service import Answered, Ask
from trainer.use_cases.list_records import Elsewhere, Held
from trainer.use_cases.list_team import Named, Standings
from trainer.use_cases.work import Unit
from trainer.web.house import house
from trainer.web.records.issuing import issuing
from trainer.web.words import ANSWER_WORDS

Asked = Mapping[str, Any]
Said = dict[str, Any]


def clearance(unit: Unit, asked: Asked) -> Said:
    """One answer."""
    return _answered(unit, [asked])[0]


def urgent_removal(unit: Unit, asked: Asked) -> Said:
    """One answer about a removal that cannot wait."""
    return _answered(unit, [{**asked, "service": "remove", "urgent": True}])[0]


def clearances(unit: Unit, asked: Asked) -> Said:
    """Answers in the order of the questions."""
    return {"answers": _answered(unit, asked["questions"])}


def people(unit: Unit, asked: Asked) -> Said:
    """A page of ids and names."""
    found = list_team.page(unit, asked.get("after", ""), asked["count"])
    return {"people": [_named(one) for one in found.people], "next": found.next}


def team(unit: Unit, asked: Asked) -> Said:
    """A page of people and where they stand."""
    day = keep_diary.day_here(unit, clock.now())
    found = list_team.page(unit, asked.get("after", ""), asked["count"])
    stand = _stand(unit, found.people, day)
    return {"on": day.isoformat(), "team": [_member(one) for one in stand], "next": found.next}


def member(unit: Unit, asked: Asked) -> Said:
    """One person and where they stand."""
    person = list_team.one(unit, asked["person"])
    (found,) = _stand(unit, [person], keep_diary.day_here(unit, clock.now()))
    return _member(found)


def records(unit: Unit, asked: Asked) -> Said:
    """A page of records."""
    days = house().settings.status_days
    found = list_records.page(unit, asked.get("after", ""), asked["count"], clock.now(), days)
    return {"records": [_record(one) for one in found.records], "next": found.next}


def record(unit: Unit, asked: Asked) -> Said:
    """One record."""
    days = house().settings.status_days
    return _record(list_records.one(unit, asked["record"], clock.now(), days))


def document(unit: Unit, asked: Asked) -> str:
    """The signed record, letter by letter."""
    return list_records.document(unit, asked["record"])


def changes(unit: Unit, asked: Asked) -> Said:
    """What changed since."""
    found = follow_changes.follow(unit, asked.get("after", ""), asked["count"])
    told = [
        {
            "kind": one.kind,
            "at": _moment(one.at),
            "person": one.person_id,
            "method": one.method,
            "record": one.record_id,
        }
        for one in found.changes
    ]
    return {"changes": told, "next": found.next, "more": found.more}


ANSWERS: Mapping[str, Callable[[Unit, Asked], Said | str]] = {
    one.__name__: one
    for one in (
        clearance,
        urgent_removal,
        clearances,
        people,
        team,
        member,
        records,
        record,
        document,
        changes,
    )
}
"""{operationId: what answers it}."""


def _answered(unit: Unit, questions: Sequence[Asked]) -> list[Said]:
    asks = [
        Ask(
            one["person"],
            one["method"],
            one["service"],
            date.fromisoformat(one["on"]),
            one.get("urgent", False),
        )
        for one in questions
    ]
    here = house()
    found = clear_for_service.answer_many(unit, here.bank, asks, here.settings.grace_days)
    return [_cleared(one) for one in found]


def _cleared(found: Answered) -> Said:
    ask, said = found.ask, found.clearance
    return {
        "person": ask.person_id,
        "name": found.person,
        "method": ask.method,
        "service": ask.service,
        "on": ask.on.isoformat(),
        "urgent": ask.urgent,
        "answer": said.answer,
        "words": ANSWER_WORDS[said.answer],
        "reasons": [asdict(one) for one in said.reasons],
        "reminder": said.reminder,
    }


def _stand(unit: Unit, people: Sequence[Named], day: date) -> Sequence[Standings]:
    here = house()
    return list_team.stand(unit, here.bank, people, day, here.settings.grace_days)


def _named(person: Named) -> Said:
    return {"id": person.id, "name": person.name}


def _member(found: Standings) -> Said:
    stand = [_standing(method, service, one) for method, service, one in found.standings]
    return {**_named(found.person), "standings": stand}


def _standing(method: str, service: str, found: Standing) -> Said:
    return {
        "method": method,
        "service": service,
        "standing": found.word,
        "day": found.day.isoformat() if found.day else None,
        "record": found.record,
    }


def _record(found: Held) -> Said:
    return {
        "id": found.id,
        "person": found.person_id,
        "name": found.holder,
        "method": found.method,
        "services": list(found.services),
        "issuer": found.issuer,
        "valid_from": _moment(found.valid_from),
        "valid_until": _moment(found.valid_until) if found.valid_until else None,
        "state": found.state,
        "since": _moment(found.since),
        "page": None if found.elsewhere else f"{issuing().base_url}/check/{found.id}",
        "elsewhere": _elsewhere(found.elsewhere) if found.elsewhere else None,
    }


def _elsewhere(found: Elsewhere) -> Said:
    return {
        "accepted": found.accepted,
        "counts_for": list(found.counts_for),
        "status": found.status,
        "checked_at": _moment(found.checked_at) if found.checked_at else None,
        "enough_until": found.enough_until.isoformat() if found.enough_until else None,
    }


def _moment(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
