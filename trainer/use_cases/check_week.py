"""Check a week's bookings: may whoever is booked do it, and who could do it instead?

Bookings come in and go out again: nothing of them is kept, and nothing of them is logged.
"""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from trainer.core.bookings.asking import Group, grouped
from trainer.core.bookings.booking import MOST, Booking, Diary, Week
from trainer.core.bookings.hours import Hours
from trainer.core.bookings.matching import Rule, RuleBook, by_names, words_of
from trainer.core.exchange.bookings_calendar import read_calendar
from trainer.core.exchange.bookings_table import read_table
from trainer.core.knowledge.bank import Bank
from trainer.core.records.clearance import Clearance, Question
from trainer.store import diaries, people, working_days
from trainer.store import team as team_store
from trainer.store.unit import Unit
from trainer.use_cases import keep_matching_rules
from trainer.use_cases.clear_for_service import ASKERS, LOOKED_AT
from trainer.use_cases.keep_working_days import works
from trainer.use_cases.name_team import staff
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.weigh_clearance import Kept, read_kept

CALENDAR = b"BEGIN:VCALENDAR"
ENOUGH = 5
"""Others who could do it: so many are named."""
Slot = tuple[str, str, date]
"""Method, service, day."""
Open = tuple[str, Slot, Clearance | None]
"""Person, what is booked, and why it is not cleared; '' and None for nobody."""


@dataclass(frozen=True)
class Line:
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


@dataclass(frozen=True)
class Checked:
    """A week as it stands: every booking is in one of the counts, in `lines` or in a group.

    `work` and `people` are asked about; `no_need` need no clearance by a rule, `not_ours` are
    booked with nobody of the team by a rule. `read_as`: how often each rule was used.
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

    @cached_property
    def asked(self) -> int:
        """How many bookings wait for an answer of the salon."""
        return len(set().union(*(one.places for one in (*self.work, *self.people))))


@dataclass
class _Sorting:
    """Bookings put where they belong, by place."""

    work: dict[int, Rule] = field(default_factory=dict)
    people: dict[int, str] = field(default_factory=dict)
    nobody: set[int] = field(default_factory=set)
    unknown_work: dict[int, str] = field(default_factory=dict)
    unknown_people: dict[int, str] = field(default_factory=dict)
    no_need: int = 0
    not_ours: int = 0
    used: Counter[str] = field(default_factory=Counter)
    """By the rule's id; '' for a person's own name, which no rule is needed for."""


def read(unit: Unit, content: bytes, week: Week) -> Diary:
    """Read a week's bookings from a calendar or a table. Raises InputProblem, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    if not content:
        raise InputProblem("There is no file", "bookings", "Choose one that holds your bookings.")
    kept = diaries.of_place(unit)
    zone = kept.zone if kept else ""
    if CALENDAR in content[:200].upper():
        diary = read_calendar(content, week, zone)
    else:
        place = people.organisation(unit, unit.viewer.organisation_id)
        diary = read_table(content, week, zone, place.spelling == "american")
    if not diary.bookings:
        raise InputProblem("No bookings in this week", "bookings", _other_weeks(diary))
    if len(diary.bookings) > MOST:
        raise InputProblem(f"More than {MOST:,} bookings", "bookings", "Give fewer at a time.")
    return diary


def check(unit: Unit, bank: Bank, week: Week, diary: Diary, grace_days: int) -> Checked:
    """Check a week's bookings by the salon's rules. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    team = dict(staff(unit))
    rules = keep_matching_rules.rules(unit)
    sorted_ = _sorted(diary.bookings, rules, team, bank)
    lines, cleared = _weighed(unit, bank, diary.bookings, sorted_, team, grace_days)
    read_as = [(rule, sorted_.used[rule.id]) for rule in rules if sorted_.used[rule.id]]
    return Checked(
        week,
        diary,
        cleared,
        sorted_.no_need,
        sorted_.not_ours,
        lines,
        grouped(sorted_.unknown_work, whole=diary.bare, aside=_names(team)),
        grouped(sorted_.unknown_people, whole=True),
        sorted(read_as, key=lambda one: (-one[1], one[0].words)),
        team,
    )


def _names(team: Mapping[str, str]) -> set[str]:
    return {word for name in team.values() for word in words_of(name)}


def _other_weeks(diary: Diary) -> str:
    if diary.reach is None:
        return "Check that the file holds bookings."
    first, last = (f"{one.day} {one:%B %Y}" for one in diary.reach)
    return f"The file's bookings go from {first} to {last}: choose another week."


def _sorted(
    bookings: Sequence[Booking], rules: Sequence[Rule], team: Mapping[str, str], bank: Bank
) -> _Sorting:
    known = [one for one in rules if one.kind == "work" and one.method in ("", *bank.methods)]
    named = [one for one in rules if one.kind == "person" and one.person in ("", *team)]
    work, said, own = RuleBook(known), RuleBook(named), RuleBook(by_names(team))
    found = _Sorting()
    for place, booking in enumerate(bookings):
        rule = work.fitting(booking.title)
        if rule is not None and not rule.method:
            found.used[rule.id] += 1
            found.no_need += 1
            continue
        who = _who(booking, said, own)
        if who is not None and not who.person:
            found.used[who.id] += 1
            found.not_ours += 1
            continue
        _put(found, place, booking, rule, who)
    return found


def _who(booking: Booking, said: RuleBook, own: RuleBook) -> Rule | None:
    """Whose booking it is: by its staff, else by a name in its title."""
    for text in (booking.staff, booking.title):
        rule = said.fitting(text) or own.fitting(text)
        if rule is not None:
            return rule
    return None


def _put(
    found: _Sorting, place: int, booking: Booking, rule: Rule | None, who: Rule | None
) -> None:
    if rule is None:
        found.unknown_work[place] = booking.title
    else:
        found.used[rule.id] += 1
        found.work[place] = rule
    if who is not None:
        found.used[who.id] += 1
        found.people[place] = who.person
    elif booking.staff:
        found.unknown_people[place] = booking.staff
    else:
        found.nobody.add(place)


def _weighed(
    unit: Unit,
    bank: Bank,
    bookings: Sequence[Booking],
    found: _Sorting,
    team: Mapping[str, str],
    grace_days: int,
) -> tuple[list[Line], int]:
    """The bookings that are not cleared, and how many are. What is asked twice is weighed once."""
    places: dict[tuple[str, Slot], list[int]] = {}
    for place, rule in found.work.items():
        if place not in found.unknown_people:
            slot = (rule.method, rule.service, bookings[place].start.date())
            places.setdefault((found.people.get(place, ""), slot), []).append(place)
    if not places:
        return [], 0
    slots = {slot for _, slot in places}
    others = _looked_at(unit, slots, team)
    methods = sorted({method for method, _, _ in slots})
    people_ = sorted(others | {person for person, _ in places if person})
    kept = read_kept(unit, bank, people_, grace_days, methods=methods)
    open_: dict[int, Open] = {}
    for (person, slot), all_ in places.items():
        clearance = _clearance(kept, team, person, slot) if person else None
        if clearance is None or clearance.answer != "cleared":
            open_ |= dict.fromkeys(all_, (person, slot, clearance))
    able = _able(unit, kept, {slot for _, slot, _ in open_.values()}, team, others)
    lines = _lines(bookings, Hours(found.people, bookings), open_, able, team)
    return lines, sum(map(len, places.values())) - len(lines)


def _lines(
    bookings: Sequence[Booking],
    hours: Hours,
    open_: Mapping[int, Open],
    able: Mapping[Slot, Sequence[str]],
    team: Mapping[str, str],
) -> list[Line]:
    """What is not cleared, in the order of the bookings, with who is able and free then."""
    lines = []
    for place in sorted(open_):
        person, slot, clearance = open_[place]
        booking = bookings[place]
        busy = hours.busy(booking)
        free = [one for one in able[slot] if one not in busy and one != person]
        names = [team[one] for one in free[:ENOUGH]]
        more = len(free) - len(names)
        name = team.get(person, "")
        lines.append(Line(booking, person, name, slot[0], slot[1], clearance, names, more))
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
