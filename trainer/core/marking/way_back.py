"""From a criterion that was missed to the steps of the book and the topic to practise."""

from dataclasses import dataclass

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.criterion import Criterion
from trainer.core.knowledge.procedure import Step
from trainer.core.knowledge.words import Topic


@dataclass(frozen=True, slots=True)
class WayBack:
    """Where to read and what to practise. `steps`: of the service; may be empty, so may `topic`."""

    criterion: Criterion
    steps: tuple[Step, ...]
    topic: Topic | None


def way_back(bank: Bank, criterion: Criterion) -> WayBack:
    """Find what a missed criterion rests on.

    Parameters
    ----------
    bank : All that is known.
    criterion : One that was not met.

    Returns
    -------
    The steps of that service that rest on one of the criterion's facts, in the book's order, and
    the topic of its first fact that is known.
    """
    procedure = bank.procedure(criterion.method, criterion.service)
    steps = procedure.steps if procedure else ()
    topics = [bank.facts[name].topic for name in criterion.facts if name in bank.facts]
    return WayBack(
        criterion,
        tuple(step for step in steps if set(step.facts) & set(criterion.facts)),
        topics[0] if topics else None,
    )
