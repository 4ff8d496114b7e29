"""Whether what a record takes can be had: services with a sheet, sensible shares and days."""

from collections.abc import Iterator

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.scheme import Refresh
from trainer.core.knowledge.words import OBSERVED_SERVICES, Service

Found = Iterator[tuple[str, str, str]]


def schemes(bank: Bank) -> Found:
    """(entry, field, what is wrong) for every method's scheme."""
    for method in bank.methods.values():
        entry, scheme = f"method {method.id}", method.scheme
        for what in _observed(bank, method.id, scheme.observed):
            yield entry, "scheme.observed", what
        if scheme.renew_days < 0:
            yield entry, "scheme.renew_days", "cannot be below 0"
        if scheme.valid_months is not None and scheme.valid_months < 1:
            yield entry, "scheme.valid_months", "cannot be below 1"
        for field, what in _refresh(scheme.refresh, scheme.observed):
            yield entry, f"scheme.refresh.{field}", what


def _observed(bank: Bank, method: str, services: tuple[Service, ...]) -> Iterator[str]:
    if not services:
        yield "is empty; a record needs work that was watched"
    for service in services:
        if service not in OBSERVED_SERVICES:
            yield f"{service} is not signed off at the chair"
        elif not bank.criteria_of(method, service):
            yield f"{service} has no criteria to watch"


def _refresh(refresh: Refresh, observed: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    if not 0 < refresh.share <= 1:
        yield "share", "must be above 0, at most 1"
    if not 0 < refresh.short_share <= refresh.share:
        yield "short_share", "must be above 0, at most share"
    for field in ("within_days", "least_answers", "late_days"):
        if getattr(refresh, field) < 0:
            yield field, "cannot be below 0"
    for service in set(refresh.observed) - set(observed):
        yield "observed", f"{service} is not among the services of the first record"
