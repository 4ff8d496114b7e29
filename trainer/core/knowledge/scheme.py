"""What a completion record for a method takes, how long it holds, and how it is renewed."""

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET
from trainer.core.knowledge.words import OBSERVED_SERVICES, Service


@dataclass(frozen=True, slots=True, config=SHEET)
class Refresh:
    """The shorter way for whoever renews in time; else the full assessment is sat again.

    `share`: items of a refresh set as a share of the full assessment's, in (0, 1]. `short_share`
    holds instead for whoever stands above the standard, has given at least `least_answers` in the
    last `within_days` days and made no critical error in them. Neither goes below the critical
    items that the full assessment must hold. `late_days`: days after a record's end in which it
    may still be renewed so. `observed`: the services that are watched again.
    """

    share: float = 0.5
    short_share: float = 0.25
    within_days: int = 90
    least_answers: int = 20
    late_days: int = 30
    observed: tuple[Service, ...] = OBSERVED_SERVICES


@dataclass(frozen=True, slots=True, config=SHEET)
class Scheme:
    """An assessment is always needed; `observed`: the services watched and signed off besides.

    `valid_months`: calendar months that a record holds; left out, the setting for bonded or other
    methods holds. `renew_days`: the last days of a record in which a new one may be issued; it then
    runs on from the old one's end.
    """

    observed: tuple[Service, ...] = OBSERVED_SERVICES
    renew_days: int = 60
    valid_months: int | None = None
    refresh: Refresh = Refresh()
