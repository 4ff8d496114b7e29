"""Weigh bookings whose work is known: which are not cleared, and who could do these instead."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from trainer.core.bookings.booking import Booking
from trainer.core.bookings.hours import Hours
from trainer.core.bookings.sorting import Sorted
from trainer.core.knowledge.bank import Bank
from trainer.core.records.clearance import Clearance, Question
from trainer.store import team as team_store
from trainer.store import working_days
from trainer.store.unit import Unit
from trainer.use_cases.clear_for_service import LOOKED_AT
from trainer.use_cases.keep_working_days import works
from trainer.use_cases.weigh_clearance import Kept, read_kept

ENOUGH = 5
"""Others who could do it: so many are named."""


class Line(NamedTuple):
    """One booking that is not cleared. `person` is '' where nobody of the team is named in it.

    `instead`: names of some who are cleared for it and free then; `others`: how many more.
    """

    booking: Booking
    person_id: str
    person: str
    method: str
    service: str
    clearance: Clearance | None
    instead: Sequence[str]
    others: int

    @property
    def day(self) -> date:
        """The day of the booking."""
        return self.booking.start.date()


Slot = tuple[str, str, date]
"""Method, service, day."""


class _Open(NamedTuple):
    """Whom something not cleared is booked with, and why not; '' and None for nobody."""

    person: str
    slot: Slot
    clearance: Clearance | None


def not_cleared(
    unit: Unit,
    bank: Bank,
    bookings: Sequence[Booking],
    found: Sorted,
    team: Mapping[str, str],
    grace_days: int,
    today: date,
) -> tuple[list[Line], int]:
    """The bookings that are not cleared, and how many are. What is asked twice is weighed once.

    One whose person is still to be asked about is in neither.
    """
    places = _places(bookings, found)
    if not places:
        return [], 0
    slots = {slot for _, slot in places}
    others = _looked_at(unit, slots, team)
    kept = read_kept(
        unit,
        bank,
        sorted(others | {person for person, _ in places if person}),
        grace_days,
        with_records=min(on for _, _, on in slots) < today,
        methods=sorted({method for method, _, _ in slots}),
    )
    open_: dict[int, _Open] = {}
    for (person, slot), all_ in places.items():
        if not person or kept.cell(person, *slot).answer != "cleared":
            clearance = _clearance(kept, team, person, slot) if person else None
            open_ |= dict.fromkeys(all_, _Open(person, slot, clearance))
    able = _able(unit, kept, {one.slot for one in open_.values()}, team, others)
    lines = _lines(bookings, Hours(found.people, bookings), open_, able, team)
    return lines, sum(map(len, places.values())) - len(lines)


def _places(bookings: Sequence[Booking], found: Sorted) -> Mapping[tuple[str, Slot], Sequence[int]]:
    """(person, what they are booked for) -> the bookings' places; '' for nobody named."""
    places: dict[tuple[str, Slot], list[int]] = defaultdict(list)
    for place, rule in found.work.items():
        if place not in found.unknown_people:
            slot = (rule.method, rule.service, bookings[place].start.date())
            places[found.people.get(place, ""), slot].append(place)
    return places


def _lines(
    bookings: Sequence[Booking],
    hours: Hours,
    open_: Mapping[int, _Open],
    able: Mapping[Slot, Sequence[str]],
    team: Mapping[str, str],
) -> list[Line]:
    """What is not cleared, in the order of the bookings, with who is able and free then.

    Who that is, is found once for the same work at the same hours: whoever is booked is not free.
    """
    lines, found = [], {}
    for place in sorted(open_):
        person, slot, clearance = open_[place]
        method, service, _ = slot
        booking = bookings[place]
        same = (slot, booking.start, booking.end)
        if same not in found:
            busy = hours.busy(booking)
            free = [team[one] for one in able[slot] if one not in busy]
            found[same] = free[:ENOUGH], len(free[ENOUGH:])
        name = team.get(person, "")
        lines.append(Line(booking, person, name, method, service, clearance, *found[same]))
    return lines


def _clearance(kept: Kept, team: Mapping[str, str], person: str, slot: Slot) -> Clearance:
    method, service, on = slot
    asked = Question(team[person], kept.bank.methods[method].name, service, on)
    return kept.clearance(person, asked, method)


def _able(
    unit: Unit, kept: Kept, slots: set[Slot], team: Mapping[str, str], others: Collection[str]
) -> Mapping[Slot, Sequence[str]]:
    """Who is cleared for each slot and works on that weekday, by name.

    Whoever has nothing to show for a method is not asked about it.
    """
    days = working_days.of_people(unit, others) if slots else {}
    by_name = sorted(others, key=lambda one: (team[one], one))
    begun = {
        method: [one for one in by_name if kept.anything(one, method)]
        for method in {method for method, _, _ in slots}
    }
    return {
        (method, service, on): [
            one
            for one in begun[method]
            if works(days.get(one), on) and kept.cell(one, method, service, on).answer == "cleared"
        ]
        for method, service, on in slots
    }


def _looked_at(unit: Unit, slots: set[Slot], team: Mapping[str, str]) -> set[str]:
    """Who may step in: the whole team; of a large one the first by name who are likely to be
    cleared for each slot, those with records from elsewhere among them.
    """
    if len(team) <= LOOKED_AT:
        return set(team)
    found = (team_store.likely(unit, *slot, None, LOOKED_AT) for slot in slots)
    return {row.id for rows in found for row in rows}
