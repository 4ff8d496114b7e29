"""Read a week's bookings from what the salon gives: a calendar or a table."""

from trainer.core.bookings.booking import MOST, Diary, Week
from trainer.core.exchange.bookings_calendar import read_calendar
from trainer.core.exchange.bookings_table import read_table
from trainer.store import diaries
from trainer.store.unit import Unit
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS

CALENDAR = b"BEGIN:VCALENDAR"
WHERE = "bookings"


def read(unit: Unit, content: bytes, week: Week) -> Diary:
    """Read the bookings of a week. Raises InputProblem, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    if not content:
        raise InputProblem("There is no file", WHERE, "Choose one that holds your bookings.")
    zone, spelling = diaries.ways(unit)
    if CALENDAR in content[:400].replace(b"\0", b"").upper():  # in UTF-16 too
        diary = read_calendar(content, week, zone)
    else:
        diary = read_table(content, week, zone, month_first=spelling == "american")
    if not diary.bookings:
        raise InputProblem("No bookings in this week", WHERE, _other_weeks(diary))
    if len(diary.bookings) > MOST:
        raise InputProblem(f"More than {MOST:,} bookings", WHERE, "Give fewer at a time.")
    return diary


def _other_weeks(diary: Diary) -> str:
    if diary.reach is None:
        return "Check that the file holds bookings."
    first, last = (f"{one.day} {one:%B %Y}" for one in diary.reach)
    return f"The file's bookings go from {first} to {last}: choose another week."
