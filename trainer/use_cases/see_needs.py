"""What needs the viewer: modules that are due, records that end, work, doubts and appeals waiting.

One list for the page and for the letter. Nobody else is named in it: it may leave the house.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from trainer.core.knowledge.bank import Bank
from trainer.store.unit import Unit
from trainer.use_cases import (
    accept_evidence,
    admit_candidate,
    answer_offer,
    appeal,
    ask_to_leave,
    ask_to_sit,
    assign_module,
    choose_practice,
    contest_question,
    note_week,
    review_cohort,
    see_changes,
    see_endings,
    see_signed,
    see_standard,
    take_top_up,
    watch_again,
    watch_together,
)
from trainer.use_cases.roles import ASKERS, DECIDERS, EVERYBODY, Role

SOON = timedelta(days=7)
"""How near a module's day must be to be told."""
ANSWERED_LATELY = timedelta(days=14)


@dataclass(frozen=True, slots=True)
class Need:
    """One thing. `kind` says where it is dealt with; `on`: its day, if it has one."""

    kind: str
    words: str
    on: date | None = None
    late: bool = False


Source = Callable[[Unit, Bank, int, datetime], Iterator[Need]]


def needs(unit: Unit, bank: Bank, window: int, now: datetime) -> tuple[Need, ...]:
    """Everything that needs the viewer in this organisation: late things first, then by day.

    `window`: how many days ahead records that end are told.
    """
    found = [
        one
        for roles, source in SOURCES
        if unit.viewer.is_a(*roles)
        for one in source(unit, bank, window, now)
    ]
    return tuple(sorted(found, key=lambda one: (not one.late, one.on or date.max)))


def _my_modules(unit: Unit, _bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    for one in choose_practice.assigned(unit):
        late = one.due_on < now.date()
        if late or one.due_on <= (now + SOON).date():
            words = f"Your module '{one.title}' {'was' if late else 'is'} due"
            yield Need("module", words, one.due_on, late)


def _my_records(unit: Unit, bank: Bank, window: int, now: datetime) -> Iterator[Need]:
    for one in see_endings.mine(unit, bank, window, now):
        late = one.days < 0
        named = bank.methods[one.needed.method].name
        words = f"Your record for {_small(named)} {'has ended' if late else 'ends'}"
        yield Need("my_record", words, one.on, late)


def _my_top_ups(unit: Unit, bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    for one in take_top_up.mine(unit, bank, now):
        if one.done_on is None:
            asked = _count(one.how_far.length, "question", "questions")
            words = f"A fact you were assessed on has changed: {asked} by"
            yield Need("top_up", words, one.due_on, one.late(now.date()))


def _my_sheets(unit: Unit, bank: Bank, _window: int, _now: datetime) -> Iterator[Need]:
    for one in see_signed.unseen(unit):
        if one.method in bank.methods:
            work = f"{_small(bank.methods[one.method].name)}, {one.service}"
            said = "competent" if one.met else "needs more, and the sheet says what"
            words = f"Your work of {one.on.day} {one.on:%B} was signed: {said} ({work})"
            yield Need("sheet", words)


def _my_appeals(unit: Unit, _bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    for one in appeal.mine(unit):
        if one.answered_at and one.answered_at > now - ANSWERED_LATELY:
            kind = "appeal" if one.is_appeal else "complaint"
            yield Need("appeal", f"Your {kind} is answered", one.answered_at.date())


def _my_offers(unit: Unit, _bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    for one in answer_offer.mine(unit, now):
        yield Need("offer", f"{one.place} asks you to join; it waits until", one.until.date())


def _my_contests(unit: Unit, _bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    found = contest_question.answered(unit, now - ANSWERED_LATELY)
    if found:
        words = _count(len(found), "question you contested is", "questions you contested are")
        yield Need("contested", f"{words} answered", found[-1].date())


def _my_assessments(unit: Unit, bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    for method, state in ask_to_sit.states(unit, now).items():
        if state == "opened" and method in bank.methods:
            yield Need("assessment", f"An assessment is open for you: {bank.methods[method].name}")


def _sign_offs(unit: Unit, bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    waiting = review_cohort.waiting(unit, bank, now)
    yield from _many(
        "sign_off", len(waiting), "person waits", "people wait", "to be watched at work"
    )
    second = [one for one in watch_together.waiting(unit) if not one.mine]
    yield from _many("second", len(second), "sheet waits", "sheets wait", "for a second observer")
    again = [one for one in watch_again.waiting(unit) if not one.mine]
    yield from _many("again", len(again), "service is", "services are", "to be watched again")


def _admissions(unit: Unit, _bank: Bank, _window: int, _now: datetime) -> Iterator[Need]:
    count = admit_candidate.waiting(unit)
    yield from _many("admission", count, "person asks", "people ask", "to sit an assessment")


def _overdue(unit: Unit, _bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    late = sum(one.state == "overdue" for one in assign_module.list_open(unit, now))
    yield from _many("modules", late, "module is", "modules are", "overdue for somebody", late=True)


def _ratings(unit: Unit, bank: Bank, _window: int, _now: datetime) -> Iterator[Need]:
    for method in see_standard.to_rate(unit):
        if method in bank.methods:
            yield Need("panel", f"A panel asks for your ratings: {bank.methods[method].name}")


def _cuts(unit: Unit, bank: Bank, _window: int, _now: datetime) -> Iterator[Need]:
    for method in see_standard.to_adopt(unit):
        if method in bank.methods:
            yield Need("cut", f"A proposed cut waits to be adopted: {bank.methods[method].name}")


def _contests(unit: Unit, _bank: Bank, _window: int, _now: datetime) -> Iterator[Need]:
    count = contest_question.waiting(unit)
    yield from _many("contest", count, "contested question waits", "contested questions wait", "")


def _evidence(unit: Unit, _bank: Bank, _window: int, _now: datetime) -> Iterator[Need]:
    count = sum(not one.refused for one in accept_evidence.undecided(unit))
    yield from _many("evidence", count, "request waits", "requests wait", "for your decision")


def _appeals(unit: Unit, _bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    for one in appeal.waiting(unit):
        if not one.refused:
            kind = "An appeal" if one.is_appeal else "A complaint"
            late = one.due_on < now.date()
            yield Need(
                "appeal", f"{kind} {'was' if late else 'is'} to be answered", one.due_on, late
            )


def _erasures(unit: Unit, _bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    for one in ask_to_leave.waiting(unit):
        if not one.refused:
            day, late = one.due_on or one.last_day, one.last_day < now.date()
            yield Need("erasure", "Somebody asked to be taken out of here", day, late)


def _records_here(unit: Unit, bank: Bank, window: int, now: datetime) -> Iterator[Need]:
    found = see_endings.count_of_place(unit, bank, window, now)
    yield from _many("records", found.ended, "record has", "records have", "ended here", late=True)
    if found.next_end is not None:
        words = f"{_count(found.coming, 'record ends', 'records end')} here soon, the first"
        yield Need("records", words, found.next_end.date())


def _changes(unit: Unit, _bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    found, holders = see_changes.concerning(unit, now)
    if found == 1:
        held = _count(holders, "person holds a record", "people hold records")
        yield Need("change", f"A safety fact has changed: {held} that leaned on it")
    elif found:
        words = f"{found} safety facts have changed that records here leaned on"
        yield Need("change", words)


def _bookings(unit: Unit, _bank: Bank, _window: int, now: datetime) -> Iterator[Need]:
    for count, monday in note_week.ahead(unit, now.date()):
        words = f"{_count(count, 'booking is', 'bookings are')} not cleared in the week of"
        yield Need("booking", words, monday)


def _many(
    kind: str, count: int, one: str, more: str, rest: str, late: bool = False
) -> Iterator[Need]:
    if count:
        yield Need(kind, f"{_count(count, one, more)} {rest}".strip(), late=late)


def _count(count: int, one: str, more: str) -> str:
    return f"1 {one}" if count == 1 else f"{count} {more}"


def _small(name: str) -> str:
    return name[:1].lower() + name[1:]


SOURCES: tuple[tuple[tuple[Role, ...], Source], ...] = (
    (("apprentice",), _my_modules),
    (("apprentice",), _my_records),
    (EVERYBODY, _my_top_ups),
    (("apprentice",), _my_sheets),
    (EVERYBODY, _my_offers),
    (EVERYBODY, _my_appeals),
    (("apprentice",), _my_contests),
    (("apprentice",), _my_assessments),
    (("instructor",), _sign_offs),
    (("instructor",), _admissions),
    (("instructor",), _overdue),
    (("instructor",), _contests),
    (("instructor",), _ratings),
    (("administrator",), _cuts),
    (DECIDERS, _evidence),
    (DECIDERS, _appeals),
    (("administrator",), _erasures),
    (ASKERS, _bookings),
    (ASKERS, _changes),
    (ASKERS, _records_here),
)
"""Who is told by which source. Another thing that needs somebody is one line here."""
