"""What the viewer's house asks anew after changed facts, and who has finished it."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from trainer.core.records.top_up import TopUp, leaned_on
from trainer.store import top_ups
from trainer.store.statements import Found
from trainer.store.unit import Unit


@dataclass(frozen=True)
class TopUps:
    """`asked`: (method, service) -> (change, what is asked). `done`: (change, person) -> day."""

    asked: Mapping[tuple[str, str], Sequence[tuple[str, TopUp]]]
    done: Mapping[tuple[str, str], date]

    def changes(self, method: str, service: str, learned_on: date | None) -> Sequence[str]:
        """The changes on which somebody is asked who was assessed on a day."""
        there = self.asked.get((method, service), ())
        return [change for change, one in there if leaned_on(learned_on, one.since)]

    def of(
        self, person_id: str, method: str, service: str, learned_on: date | None
    ) -> tuple[TopUp, ...]:
        """What is asked of a person who was assessed on a day."""
        return tuple(
            replace(one, done_on=self.done.get((change, person_id)))
            for change, one in self.asked.get((method, service), ())
            if leaned_on(learned_on, one.since)
        )


NONE_ASKED = TopUps({}, {})


def top_ups_here(unit: Unit, person_ids: Collection[str]) -> TopUps:
    """What is asked in the viewer's house, in one statement where it asks nothing, else in two."""
    rows = top_ups.here(unit)
    if not rows:  # as in most houses
        return NONE_ASKED
    asked: dict[tuple[str, str], list[tuple[str, TopUp]]] = defaultdict(list)
    for row in rows:
        for method in row.methods:
            asked[method, row.service].append((row.change_id, _as_asked(row)))
    return TopUps(asked, top_ups.done(unit, person_ids, {row.change_id for row in rows}))


def _as_asked(row: Found) -> TopUp:
    return TopUp(row.after["said"], row.at.date(), row.due_on, row.required)
