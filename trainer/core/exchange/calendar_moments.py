"""The moments of a calendar file (RFC 5545), by the salon's clock."""

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, tzinfo
from typing import Any

from icalendar import vDDDTypes
from icalendar.timezone import tzp

from trainer.core.exchange.calendar_lines import parts

PLAIN = re.compile(r"DT(?:START|END)(?:;TZID=([^;:\"]+))?:(\d{8}T\d{6})(Z?)", re.ASCII)
"""How nearly every moment is written; the library reads all others, and these alike."""


class Moments(dict[str, date]):
    """A line DTSTART or DTEND -> its moment by the salon's clock; a plain date for whole days.

    Each line is read once, since people share their hours.
    """

    def __init__(self, zone: tzinfo, own_zones: Mapping[str, tzinfo]) -> None:
        """Make ready to read one file.

        Parameters
        ----------
        zone : The salon's.
        own_zones : Those that the file explains, by its names for them.
        """
        super().__init__()
        self.unknown: set[str] = set()
        self.own_zones = own_zones
        self._zone = zone

    def __missing__(self, line: str) -> date:
        """Read a line. Raises ValueError, KeyError or OverflowError for what is no moment."""
        plain = PLAIN.fullmatch(line)
        self[line] = found = self._plain(*plain.groups()) if plain else self.by_library(line)
        return found

    def _plain(self, named: str | None, numbers: str, utc: str) -> date:
        found = datetime.fromisoformat(numbers)
        if utc:
            return self.local(found.replace(tzinfo=UTC))
        if named:
            return self.local(found.replace(tzinfo=self._zone_named(named)), named)
        return found

    def _zone_named(self, named: str) -> tzinfo | None:
        """A zone by the name that the calendar gives it; None where nobody knows it."""
        return self.own_zones.get(named) or tzp.timezone(named)

    def by_library(self, line: str) -> date:
        """The same for a line in any of the standard's forms. Raises as above."""
        parameters, value = parts(line)
        named = parameters.get("TZID", "")
        found: Any = vDDDTypes.from_ical(value, timezone=named or None)
        if isinstance(found, datetime) and named in self.own_zones:
            found = found.replace(tzinfo=self.own_zones[named])
        return self.local(found, named)

    def local(self, moment: date, named: str = "") -> date:
        """Tell a moment in any zone by the salon's clock.

        Parameters
        ----------
        moment : With or without a zone, or a day.
        named : The zone's name; one that nobody knows is noted, and reads as the salon's own.

        Returns
        -------
        The moment without a zone; a day as it is.
        """
        if not isinstance(moment, datetime):
            return moment
        if named and moment.tzinfo is None:
            self.unknown.add(named)
        return moment.astimezone(self._zone).replace(tzinfo=None) if moment.tzinfo else moment
