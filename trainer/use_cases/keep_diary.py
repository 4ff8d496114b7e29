"""Keep where a salon's bookings stand. Fetched only when somebody of the salon presses the button.

The address is a secret: whoever has it reads the bookings. Only its host is shown again.
"""

from dataclasses import dataclass
from datetime import date, datetime

from trainer.core.exchange.outside_address import read_address
from trainer.core.exchange.time_zones import day_there, is_zone
from trainer.store import diaries
from trainer.store.unit import Unit
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS


@dataclass(frozen=True)
class Diary:
    """What the salon gave: `host` of the address ('' for none), and its time zone ('' for none)."""

    host: str = ""
    zone: str = ""


def given(unit: Unit) -> Diary:
    """What the viewer's organisation gave. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    row = diaries.of_place(unit)
    if row is None:
        return Diary()
    return Diary(read_address(row.address, ()).host if row.address else "", row.zone)


def day_here(unit: Unit, now: datetime) -> date:
    """The day by the clock of the viewer's organisation; in UTC where it named no time zone."""
    zone, _ = diaries.ways(unit)
    return day_there(now, zone)


def address(unit: Unit) -> str:
    """The whole address, to fetch from. Raises Forbidden, InputProblem where there is none."""
    unit.viewer.must_be(*ASKERS)
    row = diaries.of_place(unit)
    if row is None or not row.address:
        raise InputProblem("No address is kept", "address", "Give it first, or choose a file.")
    return row.address


def keep(unit: Unit, text: str | None, zone: str, now: datetime) -> None:
    """Keep an address ('' forgets it, None leaves it) and the time zone. Raises InputProblem."""
    unit.viewer.must_be(*ASKERS)
    before = diaries.of_place(unit)
    if zone and not is_zone(zone):
        raise InputProblem("This time zone is not known", "time zone", "Choose one of the list.")
    kept = before.address if before and text is None else text or ""
    url = read_address(kept).url if text else kept
    row = diaries.DiaryRow(
        organisation_id=unit.viewer.organisation_id,
        address=url,
        zone=zone,
        given_by=unit.viewer.person_id,
        given_at=now,
    )
    diaries.keep(unit, row)
