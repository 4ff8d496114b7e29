"""Name the store that an organisation's statements are sent to, or stop sending."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from trainer.core.exchange.outside_address import read_address
from trainer.store import outgoing_statements
from trainer.store.outgoing_statements import StatementTargetRow
from trainer.store.unit import Unit
from trainer.use_cases import private_file
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem

LONGEST = 200


@dataclass(frozen=True, slots=True)
class Target:
    """A store as administrators see it; its secret is never shown again."""

    address: str
    name: str
    is_on: bool
    sent_at: datetime | None
    waiting: int
    refused: int
    said: str


def see(unit: Unit) -> Target | None:
    """The store that the viewer's organisation has named, or None. Raises Forbidden."""
    unit.viewer.must_be("administrator")
    row = outgoing_statements.target(unit)
    if row is None:
        return None
    waiting, refused = outgoing_statements.counted(unit)
    return Target(row.address, row.name, row.is_on, row.sent_at, waiting, refused, row.said)


def name_target(
    unit: Unit, keys: Path, address: str, name: str, secret: str, now: datetime
) -> None:
    """Name a store and begin to send what happens from now on.

    A secret of '' is the one that is kept, for the same store: no other is ever given it.

    Raises Forbidden, InputProblem naming the field.
    """
    unit.viewer.must_be("administrator")
    read = read_address(address)
    if read.scheme != "https":
        raise InputProblem(
            "Others could read along on the way", "address", "Give an address with https."
        )
    if "?" in read.rest:  # statements go to a place below the address
        raise InputProblem(
            "There is a '?' in the address", "address", "Leave it out, and what follows it."
        )
    _must_be_short(name, "name")
    _must_be_short(secret, "secret")
    before = outgoing_statements.target(unit)
    place = _place(keys, unit.viewer.organisation_id)
    if not secret and not (place.exists() and before and _host(before.address) == read.host):
        raise InputProblem("is missing", "secret", "Write what the store has given you.")
    if secret:
        private_file.put(place, secret.encode())
    row = StatementTargetRow(
        organisation_id=unit.viewer.organisation_id,
        address=read.url.rstrip("/"),
        name=name.strip(),
        is_on=True,
        told_until=before.told_until if before else now,
        sent_at=before.sent_at if before else None,
        failures=0,
        said="",
        next_try_at=None,
    )
    outgoing_statements.keep_target(unit, row)
    log(unit, "statements.on", {"host": read.host}, now)


def stop(unit: Unit, keys: Path, now: datetime) -> None:
    """Send nothing from now on, and forget the secret. Raises Forbidden."""
    unit.viewer.must_be("administrator")
    row = outgoing_statements.target(unit)
    _place(keys, unit.viewer.organisation_id).unlink(missing_ok=True)
    if row is not None and row.is_on:
        row.is_on = False
        log(unit, "statements.off", {}, now)


def secret_of(keys: Path, organisation_id: str) -> str:
    """The secret of an organisation's store; '' where there is none."""
    place = _place(keys, organisation_id)
    return place.read_text(encoding="utf-8") if place.exists() else ""


def _must_be_short(text: str, field: str) -> None:
    if len(text) > LONGEST or not text.isprintable() or (field == "name" and ":" in text):
        raise InputProblem("cannot be used", field, "Copy it from the store once more.")


def _host(address: str) -> str:
    return read_address(address).host


def _place(keys: Path, organisation_id: str) -> Path:
    return keys / f"{organisation_id}.statements"
