"""Files to a bank: every complaint by file, entry and field, or a bank without any."""

import hashlib
import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.check import complaints_about
from trainer.core.knowledge.complaint import BankProblems, Complaint
from trainer.core.knowledge.consultation_step import ConsultationStep
from trainer.core.knowledge.criterion import Criterion
from trainer.core.knowledge.difference import Difference
from trainer.core.knowledge.emergency_removal import EmergencyRemoval
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.home_care import Care
from trainer.core.knowledge.method import Method, Product
from trainer.core.knowledge.misconception import Misconception
from trainer.core.knowledge.procedure import Procedure
from trainer.core.knowledge.profile_sheet import Attribute, Impossible
from trainer.core.knowledge.rule import Rule
from trainer.core.knowledge.source import Source
from trainer.core.knowledge.trouble import Trouble

ENTRIES: Mapping[str, TypeAdapter[Any]] = {
    "source": TypeAdapter(Source),
    "attribute": TypeAdapter(Attribute),
    "impossible": TypeAdapter(Impossible),
    "method": TypeAdapter(Method),
    "fact": TypeAdapter(Fact),
    "rule": TypeAdapter(Rule),
    "procedure": TypeAdapter(Procedure),
    "misconception": TypeAdapter(Misconception),
    "criterion": TypeAdapter(Criterion),
    "difference": TypeAdapter(Difference),
    "product": TypeAdapter(Product),
    "consultation_step": TypeAdapter(ConsultationStep),
    "trouble": TypeAdapter(Trouble),
    "care": TypeAdapter(Care),
    "emergency_removal": TypeAdapter(EmergencyRemoval),
}
"""The tables that files may hold, each with its shape."""

HOUSED = {
    "method": ("fact", "procedure", "criterion"),
    "methods": ("rule", "misconception", "trouble"),
}
"""In a method's folder these need not say which method they are about."""
RAW = ("wording", "item_models", "consultations", "blueprints", "people")
"""Folders and files whose tables are kept as read."""
VERSION_LENGTH = 12
Entry = TypeVar("Entry")


@dataclass
class Gathered:
    """Entries read so far, where each stands, and what is wrong."""

    entries: dict[str, dict[str, Any]] = field(default_factory=lambda: {k: {} for k in ENTRIES})
    places: dict[str, str] = field(default_factory=dict)
    raw: dict[str, dict[str, Any]] = field(default_factory=lambda: {k: {} for k in RAW})
    complaints: list[Complaint] = field(default_factory=list)


def read_bank(files: Mapping[str, str]) -> Bank:
    """Read and check everything. Keys are paths below the bank ('shared/scalp.toml').

    Raises BankProblems with every complaint, each naming file, entry and field.
    """
    gathered = Gathered()
    for path in sorted(files):
        _read_file(path, files[path], gathered)
    bank = _bank(files, gathered)
    problems = [*gathered.complaints, *complaints_about(bank, gathered.places)]
    if problems:
        raise BankProblems(problems)
    return bank


def _bank(files: Mapping[str, str], gathered: Gathered) -> Bank:
    entries = gathered.entries
    return Bank(
        version=version_of(files),
        sources=entries["source"],
        attributes=entries["attribute"],
        impossible=tuple(entries["impossible"].values()),
        methods=dict(sorted(entries["method"].items(), key=lambda row: row[1].order)),
        facts=entries["fact"],
        rules=entries["rule"],
        procedures=entries["procedure"],
        misconceptions=entries["misconception"],
        criteria=entries["criterion"],
        differences=entries["difference"],
        products=entries["product"],
        consultation_steps=entries["consultation_step"],
        troubles=entries["trouble"],
        home_care=entries["care"],
        emergency_removals=entries["emergency_removal"],
        wording=gathered.raw["wording"],
        item_models=gathered.raw["item_models"],
        consultations=gathered.raw["consultations"],
        blueprints=gathered.raw["blueprints"],
        people=gathered.raw["people"],
    )


def version_of(files: Mapping[str, str]) -> str:
    """A short SHA-256 of every file's path and text."""
    digest = hashlib.sha256()
    for path in sorted(files):
        digest.update(f"{path}\x1f{files[path]}\x1e".encode())
    return digest.hexdigest()[:VERSION_LENGTH]


def _read_file(path: str, text: str, gathered: Gathered) -> None:
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        gathered.complaints.append(Complaint(path, "", "", f"is not TOML: {problem}"))
        return
    parts = path.removesuffix(".toml").split("/")
    if parts[0] in gathered.raw:
        _keep_raw(parts, tables, gathered)
        return
    house = parts[1] if parts[0] == "methods" else ""
    for kind, rows in tables.items():
        if kind in ENTRIES:
            for row in rows if isinstance(rows, list) else [rows]:
                _read_entry(path, kind, row, house, gathered)
        elif kind != "version":
            gathered.complaints.append(Complaint(path, "", kind, "is no table of the bank"))


def _keep_raw(parts: list[str], tables: dict[str, Any], gathered: Gathered) -> None:
    room = gathered.raw[parts[0]]
    if len(parts) == 1:
        room.update(tables)
    else:
        room["/".join(parts[1:])] = tables


def _read_entry(path: str, kind: str, row: Any, house: str, gathered: Gathered) -> None:
    name = str(row.get("id", "?")) if isinstance(row, dict) else "?"
    try:
        entry = ENTRIES[kind].validate_json(_as_json(_housed(kind, row, house)))
    except ValidationError as problem:
        gathered.complaints.extend(_named(path, f"{kind} {name}", problem))
        return
    if entry.id in gathered.entries[kind]:
        first = gathered.places[f"{kind} {entry.id}"]
        gathered.complaints.append(
            Complaint(path, f"{kind} {name}", "id", f"is already in {first}; give it another id")
        )
        return
    gathered.entries[kind][entry.id] = entry
    gathered.places[f"{kind} {entry.id}"] = path


def _housed(kind: str, row: Any, house: str) -> Any:
    if not house or not isinstance(row, dict):
        return row
    if kind in HOUSED["method"]:
        return {"method": house} | row
    if kind in HOUSED["methods"]:
        return {"methods": [house]} | row
    return row


def _as_json(row: Any) -> str:
    """For strict reading: JSON has no tuples or dates, so arrays and ISO dates are let in."""
    return json.dumps(_shaped(row), default=date.isoformat)


def _shaped(value: Any) -> Any:
    """The operator `is` under the name that Python allows."""
    if isinstance(value, list):
        return [_shaped(one) for one in value]
    if isinstance(value, dict):
        return {("is_" if key == "is" else key): _shaped(one) for key, one in value.items()}
    return value


def _named(path: str, entry: str, problem: ValidationError) -> Iterator[Complaint]:
    for error in problem.errors(include_url=False):
        place = ".".join(str(part) for part in error["loc"]).replace("is_", "is")
        yield Complaint(path, entry, place, _plain(error["type"], error["msg"]))


def _plain(kind: str, message: str) -> str:
    known = {
        "unexpected_keyword_argument": "is not a field of this entry; mend its spelling or drop it",
        "extra_forbidden": "is not a field of this entry; mend its spelling or drop it",
        "missing": "is missing",
        "missing_argument": "is missing",
    }
    return known.get(kind, message)
