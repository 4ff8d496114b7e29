"""Check a week's bookings: may whoever is booked do it, and who could do it instead?

Bookings come in and go out again: nothing of them is kept, and nothing of them is logged.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from trainer.core.bookings.asking import Group, grouped
from trainer.core.bookings.booking import Diary, Week
from trainer.core.bookings.matching import Rule, words_of
from trainer.core.bookings.sorting import sorted_out
from trainer.core.knowledge.bank import Bank
from trainer.store.unit import Unit
from trainer.use_cases import keep_matching_rules
from trainer.use_cases.name_team import staff
from trainer.use_cases.note_week import is_noted
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.tell_apart import tell_apart
from trainer.use_cases.weigh_bookings import Line, not_cleared


@dataclass(frozen=True)
class Checked:
    """A week as it stands: every booking is in one of the counts, in `lines` or in a group.

    `work` and `people` are asked about; `no_need` need no clearance by a rule, `not_ours` are
    booked with nobody of the team by a rule. `read_as`: how often each rule was used. `noted`: the
    outcome is remembered already.
    """

    week: Week
    diary: Diary
    cleared: int
    no_need: int
    not_ours: int
    lines: Sequence[Line]
    work: Sequence[Group]
    people: Sequence[Group]
    read_as: Sequence[tuple[Rule, int]]
    staff: Mapping[str, str]
    noted: bool

    @property
    def days(self) -> Sequence[date]:
        """The day of each booking that is not cleared."""
        return [one.day for one in self.lines]

    @cached_property
    def asked(self) -> int:
        """How many bookings wait for an answer of the salon."""
        return len(set().union(*(one.places for one in (*self.work, *self.people))))


def check(
    unit: Unit, bank: Bank, week: Week, diary: Diary, grace_days: int, today: date
) -> Checked:
    """Check a week's bookings by the salon's rules. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    team = dict(tell_apart(unit, staff(unit)))
    rules = [one for one in keep_matching_rules.rules(unit) if _holds(one, bank, team)]
    found = sorted_out(diary.bookings, rules, team)
    lines, cleared = not_cleared(unit, bank, diary.bookings, found, team, grace_days, today)
    names = {word for name in team.values() for word in words_of(name)}
    return Checked(
        week,
        diary,
        cleared,
        found.no_need,
        found.not_ours,
        lines,
        grouped(found.unknown_work, whole=diary.bare, aside=names),
        grouped(found.unknown_people, whole=True),
        found.read_as(),
        team,
        is_noted(unit, week, [one.day for one in lines]),
    )


def _holds(rule: Rule, bank: Bank, team: Mapping[str, str]) -> bool:
    """Tell whether there still is what a rule speaks of."""
    return rule.method in ("", *bank.methods) and rule.person in ("", *team)
