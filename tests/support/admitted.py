"""Somebody who may sit: agreement signed, a module done, asked, opened by an instructor."""

from datetime import datetime, timedelta

from tests.support.people import NOW, Someone, a_person
from trainer.core.marking.accommodation import NONE_NEEDED, Accommodation
from trainer.store import admissions, modules, people, sittings
from trainer.store.base import new_id
from trainer.use_cases import admit_candidate, agree_to_scheme, ask_to_sit, begin_sitting
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.sit_assessment import FULL, Prepared, prepare
from trainer.use_cases.work import Viewer, Work

LENGTH = 20


def agreed(work: Work, bank, someone: Someone, now: datetime = NOW) -> None:
    with work.writing(someone.viewer) as unit:
        version = agree_to_scheme.version_of(bank)
        agree_to_scheme.sign(unit, bank, Proven(someone.id), version, now)


def a_module(
    work: Work, someone: Someone, method: str, answered: int = LENGTH, now: datetime = NOW
) -> str:
    """A module of the method that stands before the assessment, so far done."""
    teacher = _instructor(work, someone)
    with work.writing(teacher) as unit:
        values = {
            "id": new_id(),
            "submission_id": new_id(),
            "organisation_id": someone.organisation,
            "title": "Before the assessment",
            "methods": [method],
            "topics": ["timings"],
            "length": LENGTH,
            "level": "",
            "due_on": (now + timedelta(days=7)).date(),
            "before_assessment": True,
            "created_by": teacher.person_id,
            "created_at": now,
        }
        module_id, _ = modules.keep_once(unit, values)
        modules.assign(unit, module_id, [], [someone.id])
        progress = {"answered": answered, "right": answered, "last_at": now}
        unit.session.add(
            modules.ModuleProgressRow(module_id=module_id, person_id=someone.id, **progress)
        )
    return module_id


def ready(work: Work, bank, someone: Someone, method: str, now: datetime = NOW) -> None:
    """Every condition is met but the waiting time."""
    agreed(work, bank, someone, now)
    with work.reading(someone.viewer) as unit:
        done = modules.before_assessment(unit, someone.id, method)
    if not done:
        a_module(work, someone, method, now=now)


def asked(work: Work, bank, someone: Someone, method: str, kind=FULL, now=NOW, days=0) -> str:
    with work.writing(someone.viewer) as unit:
        return ask_to_sit.ask(unit, bank, method, kind, "", days, now)


def opened(
    work: Work,
    bank,
    someone: Someone,
    method: str,
    granted: Accommodation = NONE_NEEDED,
    kind: str = FULL,
    now: datetime = NOW,
    days: int = 0,
) -> str:
    """It is open for them, by an instructor of their house; gives the instructor's id."""
    ready(work, bank, someone, method, now)
    teacher = _instructor(work, someone)
    with work.reading(someone.viewer) as unit:
        begun = sittings.unfinished(unit, someone.id, method)
        there = admissions.pending(unit, someone.id, method)
    if begun is not None or (there is not None and there.state == admissions.OPENED):
        return teacher.person_id
    admission_id = there.id if there else asked(work, bank, someone, method, kind, now, days)
    with work.writing(teacher) as unit:
        admit_candidate.admit(unit, bank, admission_id, "known", granted, days, now)
    return teacher.person_id


def begun(
    work: Work,
    bank,
    someone: Someone,
    method: str,
    prepared: Prepared | None = None,
    now: datetime = NOW,
    granted: Accommodation = NONE_NEEDED,
    days: int = 0,
) -> str:
    """Somebody begins, everything before it done; gives the sitting's id."""
    form = prepared or prepare(bank, method)
    opened(work, bank, someone, method, granted, form.kind, now, days)
    with work.writing(someone.viewer) as unit:
        return begin_sitting.begin(unit, bank, method, form, now)


def _instructor(work: Work, someone: Someone) -> Viewer:
    """An instructor of their house: the one there is, or a new one."""
    with work.reading(someone.viewer) as unit:
        found = people.members(unit, "instructor")
    for row, _ in found:
        if row.id != someone.id:
            return Viewer(row.id, someone.organisation, frozenset({"instructor"}))
    return a_person(work, "instructor", organisation=someone.organisation).viewer
