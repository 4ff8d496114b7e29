"""What a record would rest on: the latest passed sitting and the work signed off at the chair."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from trainer.core.records.record import AssessmentResult, ObservedService
from trainer.store import observations, people, sittings
from trainer.store.unit import Unit


@dataclass(frozen=True)
class Evidence:
    """`sitting_id` and `result` are of the latest passed sitting; `observed` by service."""

    sitting_id: str
    result: AssessmentResult | None
    observed: Mapping[str, ObservedService]

    @property
    def passed_on(self) -> date | None:
        """The day the assessment was passed."""
        return self.result.passed_on if self.result else None

    @property
    def observed_on(self) -> Mapping[str, date]:
        """The day each service was signed off."""
        return {service: one.on for service, one in self.observed.items()}


def gather(unit: Unit, person_id: str, method: str) -> Evidence:
    """Read what is known of a person and method."""
    sitting = sittings.passed(unit, person_id, method)
    met = observations.met_for(unit, person_id, method)
    return Evidence(
        sitting.id if sitting else "",
        _result(sitting) if sitting else None,
        {
            service: ObservedService(
                service, one.observed_at.date(), people.person(unit, one.observer_id).name
            )
            for service, one in met.items()
        },
    )


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
