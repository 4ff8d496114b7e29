"""Check a week's bookings: may whoever is booked do it, and who could do it instead?

Bookings come in and go out again: nothing of them is kept, and nothing of them is logged.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from trainer.core.bookings.asking import Group, grouped
from trainer.core.bookings.booking import MOST, Booking, Diary, Week, is_free, taken
from trainer.core.bookings.matching import Rule, RuleBook, by_names, words_of
from trainer.core.exchange.bookings_calendar import read_calendar
from trainer.core.exchange.bookings_table import read_table
from trainer.core.knowledge.bank import Bank
from trainer.core.records.clearance import Clearance
from trainer.store import diaries, outside_records, people, standings, working_days
from trainer.store import team as team_store
from trainer.store.unit import Unit
from trainer.use_cases import keep_matching_rules
from trainer.use_cases.clear_for_service import ASKERS, LOOKED_AT, Ask, answer_many
from trainer.use_cases.keep_working_days import works
from trainer.use_cases.name_team import staff
from trainer.use_cases.refusals import InputProblem

CALENDAR = b"BEGIN:VCALENDAR"
ENOUGH = 5
"""Others who could do it: so many are named."""
Slot = tuple[str, str, date]
"""Method, service, day."""


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

    @property
    def asked(self) -> int:
        """How many bookings wait for an answer of the salon."""
        places = {place for one in (*self.work, *self.people) for place in one.places}
        return len(places)


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
    used: dict[Rule, int] = field(default_factory=dict)

    def use(self, rule: Rule) -> None:
        """Count a rule that the salon made; a person's own name is none."""
        if rule.id:
            self.used[rule] = self.used.get(rule, 0) + 1


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
    sorted_ = _sorted(diary.bookings, keep_matching_rules.rules(unit), team, bank)
    lines, cleared = _weighed(unit, bank, diary.bookings, sorted_, team, grace_days)
    return Checked(
        week,
        diary,
        cleared,
        sorted_.no_need,
        sorted_.not_ours,
        lines,
        grouped(sorted_.unknown_work, whole=diary.bare, aside=_names(team)),
        grouped(sorted_.unknown_people, whole=True),
        sorted(sorted_.used.items(), key=lambda one: (-one[1], one[0].words)),
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
            found.use(rule)
            found.no_need += 1
            continue
        who = _who(booking, said, own)
        if who is not None and not who.person:
            found.use(who)
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
        found.use(rule)
        found.work[place] = rule
    if who is not None:
        found.use(who)
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
    """The bookings that are not cleared, and how many are."""
    slots = {
        place: (rule.method, rule.service, bookings[place].start.date())
        for place, rule in found.work.items()
        if place not in found.unknown_people
    }
    asks = {Ask(found.people[place], *slots[place]) for place in slots if place in found.people}
    answers = {one.ask: one.clearance for one in answer_many(unit, bank, list(asks), grace_days)}
    open_ = {}
    for place, slot in slots.items():
        person = found.people.get(place, "")
        clearance = answers[Ask(person, *slot)] if person else None
        if clearance is None or clearance.answer != "cleared":
            open_[place] = (person, slot, clearance)
    able = _able(unit, bank, {slot for _, slot, _ in open_.values()}, team, grace_days)
    spans = taken(found.people, bookings)
    lines = []
    for place, (person, slot, clearance) in open_.items():
        booking = bookings[place]
        free = [one for one in able[slot] if one != person and is_free(spans, one, booking)]
        names = [team[one] for one in free[:ENOUGH]]
        more = len(free) - len(names)
        who = (person, team.get(person, ""))
        lines.append(Line(booking, *who, *slot[:2], clearance, names, more))
    return lines, len(slots) - len(lines)


def _able(
    unit: Unit, bank: Bank, slots: set[Slot], team: Mapping[str, str], grace_days: int
) -> Mapping[Slot, Sequence[str]]:
    """Who is cleared for each slot and works on that weekday, by name."""
    who = _candidates(unit, slots, team)
    days = working_days.of_people(unit, {one for all_ in who.values() for one in all_})
    asks = [
        Ask(person, *slot)
        for slot in slots
        for person in who[slot[:2]]
        if works(days.get(person), slot[2])
    ]
    found: dict[Slot, list[str]] = {slot: [] for slot in slots}
    for one in answer_many(unit, bank, asks, grace_days):
        if one.clearance.answer == "cleared":
            found[one.ask.method, one.ask.service, one.ask.on].append(one.ask.person_id)
    return {slot: sorted(all_, key=lambda one: (team[one], one)) for slot, all_ in found.items()}


def _candidates(
    unit: Unit, slots: set[Slot], team: Mapping[str, str]
) -> Mapping[tuple[str, str], set[str]]:
    """Who may be cleared for each method and service: whoever has anything to show for it.

    Of a large team only those with a record in force are looked at, the first by name.
    """
    work = {slot[:2]: min(one[2] for one in slots if one[:2] == slot[:2]) for slot in slots}
    from_elsewhere = {
        method: team.keys() & set(outside_records.holders(unit, method)) for method, _ in work
    }
    if len(team) > LOOKED_AT:
        rows = {key: team_store.competent(unit, *key, on, LOOKED_AT) for key, on in work.items()}
        held = {key: team.keys() & {row.id for row in found} for key, found in rows.items()}
    else:
        methods = {method for method, _ in work}
        begun = {(row.method, row.person_id) for row in standings.lines(unit, team, methods)}
        held = {key: {one for one in team if (key[0], one) in begun} for key in work}
    return {key: held[key] | from_elsewhere[key[0]] for key in work}
