"""Ask to sit an assessment: the conditions and how each stands, asking, taking it back."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from trainer.core.knowledge.bank import Bank
from trainer.core.records.eligibility import (
    Condition,
    Course,
    Known,
    all_met,
    conditions,
    conditions_to_renew,
)
from trainer.store import admissions, modules, people, sittings
from trainer.store.admissions import DECLINED, LAPSED, OPENED, TAKEN_BACK, WAITING, AdmissionRow
from trainer.store.competencies import WHOLE
from trainer.store.unit import Unit
from trainer.use_cases.accommodate import grant_in, standing
from trainer.use_cases.agree_to_scheme import has_agreed
from trainer.use_cases.draw_form import unmet
from trainer.use_cases.keep_log import log
from trainer.use_cases.know_competency import NOTHING, blueprint_of, known_to
from trainer.use_cases.refresh_record import why_no_refresh
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.sit_assessment import FULL, REFRESH, again_from

OPEN_FOR = timedelta(hours=4)
"""How long an opened assessment waits for its first question."""
LONGEST = 500
TELL = {
    "agreement": "the agreement is not signed",
    "practice": "the practice before it is not done",
    "waiting": "the waiting time is not over",
    "questions": "there are too few questions",
    "record": "there is no record to refresh",
}


@dataclass(frozen=True, slots=True)
class Eligibility:
    """How a person stands before an assessment of a method.

    `admission`: what they asked for and is not settled. `invigilated`: an instructor opens it;
    else it may be begun at once, and counts for no record. `elsewhere`: it was asked for in
    another organisation. `declined`: the last time they asked, if it was not opened.
    """

    method: str
    kind: str
    conditions: tuple[Condition, ...]
    admission: AdmissionRow | None
    invigilated: bool
    elsewhere: bool
    opened_by: str = ""
    declined: AdmissionRow | None = None

    @property
    def may_ask(self) -> bool:
        """Whether they may ask now."""
        return self.admission is None and all_met(self.conditions)

    @property
    def is_open(self) -> bool:
        """Whether they may begin now."""
        return self.admission is not None and self.admission.state == OPENED and not self.elsewhere


def eligibility(
    unit: Unit, bank: Bank, method: str, kind: str, retake_days: int, now: datetime
) -> Eligibility:
    """How the viewer stands before an assessment. Raises NotFound for no method or kind."""
    person_id, here = unit.viewer.person_id, unit.viewer.organisation_id
    found = conditions_of(unit, bank, person_id, method, kind, retake_days, now)
    row = pending(unit, person_id, method, now)
    last = admissions.latest(unit, person_id, method)
    by = people.person(unit, row.decided_by).name if row and row.decided_by else ""
    return Eligibility(
        method,
        row.kind if row else kind,
        found,
        row,
        people.organisation(unit, here).invigilated,
        row is not None and row.organisation_id != here,
        by,
        last if last is not None and last.state == DECLINED else None,
    )


def conditions_of(
    unit: Unit,
    bank: Bank,
    person_id: str,
    method: str,
    kind: str,
    retake_days: int,
    now: datetime,
) -> tuple[Condition, ...]:
    """How each condition stands for a person. Raises NotFound for no method or kind."""
    if method not in bank.methods or kind not in (FULL, REFRESH):
        raise NotFound
    agreed = has_agreed(unit, bank, person_id)
    if kind == REFRESH:
        return conditions_to_renew(agreed, why_no_refresh(unit, bank, person_id, method, now))
    courses = modules.before_assessment(unit, person_id, method)
    return conditions(
        Known(
            agreed,
            tuple(Course(one.title, one.answered, one.length) for one in courses),
            known_to(unit, person_id).get((method, WHOLE), NOTHING).n,
            blueprint_of(bank, method).practised_least,
            again_from(sittings.latest(unit, person_id, method), retake_days, now),
            unmet(bank, method),
        )
    )


def states(unit: Unit, now: datetime) -> dict[str, str]:
    """Method -> waiting or opened, of what the viewer asked for."""
    rows = admissions.pending_of(unit, unit.viewer.person_id)
    return {row.method: row.state for row in rows if not lapsed(row, now)}


def pending(unit: Unit, person_id: str, method: str, now: datetime) -> AdmissionRow | None:
    """What a person asked for and is not settled; None once an opened one has lapsed."""
    row = admissions.pending(unit, person_id, method)
    return None if row is None or lapsed(row, now) else row


def lapsed(row: AdmissionRow, now: datetime) -> bool:
    """Whether it was opened so long ago that it must be opened again."""
    opened = row.state == OPENED and row.decided_at is not None
    return opened and row.decided_at + OPEN_FOR < now  # type: ignore[operator]


def ask(
    unit: Unit,
    bank: Bank,
    method: str,
    kind: str,
    needs: str,
    retake_days: int,
    now: datetime,
) -> str:
    """Ask to sit, and give the id of what was asked. Asking twice changes nothing.

    Raises NotFound, and InputProblem saying which condition is not met.
    """
    unit.viewer.must_be("apprentice")
    found = eligibility(unit, bank, method, kind, retake_days, now)
    if found.elsewhere:
        raise InputProblem("it is asked for elsewhere", "assessment", "Take it back there first.")
    if found.admission is not None:
        return found.admission.id
    for one in found.conditions:
        if not one.met:
            raise InputProblem(TELL[one.what], bank.methods[method].name, "See what is missing.")
    if len(needs.strip()) > LONGEST:
        raise InputProblem("is too long", "needs", f"Keep to {LONGEST} letters.")
    _clear(unit, method, now)
    row = admissions.ask_once(unit, _asked(unit, found, needs.strip(), now))
    body = {"admission": row.id, "method": method, "kind": kind, "invigilated": found.invigilated}
    log(unit, "sitting.asked", body, now, person_id=row.person_id)
    return row.id


def take_back(unit: Unit, method: str, now: datetime) -> None:
    """Take back what the viewer asked for with a method, unless it has begun."""
    row = admissions.pending(unit, unit.viewer.person_id, method)
    if row is None:
        return
    settle(row, TAKEN_BACK)
    unit.session.flush()
    body = {"admission": row.id, "method": row.method}
    log(unit, "sitting.taken_back", body, now, person_id=row.person_id)


def settle(row: AdmissionRow, state: str) -> None:
    """Settle it: what was said about needs is no longer needed, so it goes."""
    row.state, row.pending, row.needs = state, None, ""


def _clear(unit: Unit, method: str, now: datetime) -> None:
    """Make room where an opened one has lapsed."""
    old = admissions.pending(unit, unit.viewer.person_id, method)
    if old is not None and lapsed(old, now):
        settle(old, LAPSED)
        unit.session.flush()


def _asked(unit: Unit, found: Eligibility, needs: str, now: datetime) -> AdmissionRow:
    """Where nobody has to open it, it is open at once, with what was granted before."""
    row = AdmissionRow(
        person_id=unit.viewer.person_id,
        organisation_id=unit.viewer.organisation_id,
        method=found.method,
        kind=found.kind,
        state=WAITING,
        pending=f"{unit.viewer.person_id}:{found.method}",
        needs=needs,
        asked_at=now,
    )
    if not found.invigilated:
        row.state, row.decided_at, row.needs = OPENED, now, ""
        grant_in(row, standing(unit, unit.viewer.person_id))
    return row
