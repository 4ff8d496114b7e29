"""What time zone names mean: the IANA database, or the rules in a calendar file itself.

A file's own rules count where its name is none of area and place (RFC 5545, 3.2.19): programs
write 'GMT' for London's clock, summer time and all, and 'CST' for Chicago's.
"""

from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime, tzinfo
from typing import Any
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, Timezone

MOMENTS = ("DTSTART", "DTEND", "RECURRENCE-ID", "EXDATE", "RDATE")


def is_zone(name: str) -> bool:
    """Tell whether a text names a time zone of the IANA database.

    Parameters
    ----------
    name : Such as Europe/London.

    Returns
    -------
    True when times can be worked out in it.
    """
    try:
        ZoneInfo(name)
    except (ValueError, OSError):
        return False
    return True


def day_there(moment: datetime, name: str) -> date:
    """Give the day that a moment falls on by a place's own clock.

    Parameters
    ----------
    moment : With a zone.
    name : The place's time zone (IANA name); '' for UTC.

    Returns
    -------
    The day.
    """
    return moment.astimezone(ZoneInfo(name) if name else UTC).date()


def own_zones(head: Calendar) -> Mapping[str, tzinfo]:
    """Give the time zones that a calendar explains itself.

    Parameters
    ----------
    head : The calendar; its events do not matter.

    Returns
    -------
    Name -> zone, for names that are none of area and place, and rules that can be read.
    """
    named = {str(zone.get("TZID", "")): zone for zone in head.timezones}
    own = {name: zone for name, zone in named.items() if not ("/" in name and is_zone(name))}
    read = {name: _zone(zone) for name, zone in own.items() if name}
    return {name: zone for name, zone in read.items() if zone is not None}


def put_in_zones(event: Event, zones: Mapping[str, tzinfo]) -> None:
    """Put the moments of an event into the zones that its calendar explains.

    Parameters
    ----------
    event : Changed in place.
    zones : As `own_zones` gives them.
    """
    for name in MOMENTS:
        for said in _all(event.get(name)):
            zone = zones.get(str(said.params.get("TZID", "")))
            for one in getattr(said, "dts", [said]):
                if zone is not None and isinstance(one.dt, datetime):
                    one.dt = one.dt.replace(tzinfo=zone)


def _zone(rules: Timezone) -> tzinfo | None:
    try:
        found: tzinfo = rules.to_tz(lookup_tzid=False)
    except Exception:  # the library may fail on made-up rules in any way it likes
        return None
    return found


def _all(said: Any) -> Iterator[Any]:
    if isinstance(said, list):
        yield from said
    elif said is not None:
        yield said
