"""What a record would rest on: the latest passed sitting and the work signed off at the chair."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from trainer.core.records.record import AssessmentResult, ObservedService
from trainer.core.records.requirement import Done, Pending
from trainer.store import acceptances, observations, people, sittings
from trainer.store.acceptances import AcceptanceRow
from trainer.store.observations import Watching
from trainer.store.unit import Unit


@dataclass(frozen=True)
class Evidence:
    """`sitting_id` and `result` are of the latest passed sitting; `observed` by service.

    `begun_on`: the day on which that sitting was begun; None where it is not known.
    `pending`: services whose latest sheet does not count, and why. While a second sheet is still
    to come, nothing tells what the first one said.
    """

    sitting_id: str
    result: AssessmentResult | None
    observed: Mapping[str, ObservedService]
    pending: Mapping[str, Pending] = field(default_factory=dict)
    begun_on: date | None = None

    @property
    def taken_on(self) -> date | None:
        """The day on which the assessment that was passed was begun: its questions are of then."""
        return self.begun_on or self.passed_on

    @property
    def passed_on(self) -> date | None:
        """The day the assessment was passed."""
        return self.result.passed_on if self.result else None

    @property
    def observed_on(self) -> Mapping[str, date]:
        """The day each service was signed off."""
        return {service: one.on for service, one in self.observed.items()}

    @property
    def done(self) -> Done:
        """The same as the rules read it."""
        return Done(self.passed_on, self.observed_on, self.pending)


def gather(unit: Unit, person_id: str, method: str) -> Evidence:
    """Read what is known of a person and method."""
    sitting = sittings.passed(unit, person_id, method)
    watched = observations.latest_watching(unit, person_id, method)
    agreed = acceptances.agreed_for(unit, person_id, method)
    observed = {service: _signed(unit, service, one) for service, one in watched.items() if one.met}
    for service, row in agreed.items():
        if service not in watched or _newer(row, watched[service]):
            observed[service] = _accepted(unit, row)
    return Evidence(
        sitting.id if sitting else "",
        _result(sitting) if sitting else None,
        observed,
        {service: _why_not(one) for service, one in watched.items() if service not in observed},
        sitting.opened_at.date() if sitting else None,
    )


def _why_not(watched: Watching) -> Pending:
    if watched.set_aside:
        return "set_aside"
    return "second_missing" if watched.waits else "not_met"


def _signed(unit: Unit, service: str, watched: Watching) -> ObservedService:
    names = [people.person(unit, watched.first.observer_id).name]
    if watched.first.asks_second and watched.second is not None:
        names.append(people.person(unit, watched.second.observer_id).name)
    return ObservedService(service, watched.first.observed_at.date(), " and ".join(names))


def _newer(row: AcceptanceRow, watched: Watching) -> bool:
    return row.decided_at is not None and row.decided_at > watched.first.observed_at


def _accepted(unit: Unit, row: AcceptanceRow) -> ObservedService:
    if row.decided_at is None or row.decided_by is None:
        raise ValueError(f"{row.id=} is agreed to by nobody")
    name = people.person(unit, row.decided_by).name
    return ObservedService(row.service, row.decided_at.date(), name, accepted=True)


def _result(sitting: sittings.SittingRow) -> AssessmentResult:
    if sitting.finished_at is None or sitting.score is None:
        raise ValueError(f"{sitting.id=} is passed but not finished")
    return AssessmentResult(
        passed_on=sitting.finished_at.date(),
        score=sitting.score,
        most=sitting.most,
        cut=sitting.cut,
        form=sitting.fingerprint,
        bank_version=sitting.bank_version,
        confidence=sitting.confidence,
    )
