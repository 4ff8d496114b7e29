"""Everybody who took part in examining a person: they do not decide about that person's record."""

from trainer.store import observations, sittings
from trainer.store.unit import Unit


def examiners_of(unit: Unit, person_id: str, method: str) -> frozenset[str]:
    """Who signed a sheet of a person's work with a method, or opened a sitting of theirs."""
    watched = observations.observers_of(unit, person_id, method)
    return watched | sittings.openers_of(unit, person_id, method)
