"""Audit the families of the bank, several at a time; keep what came out, and find it again."""

import json
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict, dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.audit import AuditResult, Finding, examine, settle
from trainer.core.scenarios.audit.capacity import Capacity, measured
from trainer.core.scenarios.content import content
from trainer.core.scenarios.family import family
from trainer.core.scenarios.generate import generate
from trainer.use_cases.open_bank import open_bank

T = TypeVar("T")
FILE = "audit.json"
SHOWN = 5
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Kept:
    """The last audit that was kept: when, of which bank, how many questions of each kind."""

    at: datetime
    bank_version: str
    count: int
    level: str
    results: tuple[AuditResult, ...]

    @property
    def failed(self) -> int:
        """How many families have findings."""
        return sum(not one.passed for one in self.results)


def audit_families(
    names: Sequence[str], count: int, level: str, jobs: int, progress: Progress
) -> list[AuditResult]:
    """Audit families of the shipped bank in `jobs` processes; in the order of their names given."""
    return settle(_each(partial(_examined, count=count, level=level), names, jobs, progress))


def capacities(
    names: Sequence[str], count: int, level: str, jobs: int, progress: Progress
) -> list[Capacity]:
    """How many cases each family holds, from `count` seeds."""
    return _each(partial(_measured, count=count, level=level), names, jobs, progress)


def _examined(name: str, count: int, level: str) -> AuditResult:
    bank = open_bank()
    return examine(bank, family(bank, name), count, level)


def _measured(name: str, count: int, level: str) -> Capacity:
    bank = open_bank()
    return measured(content(bank, item) for item in _items(bank, name, count, level))


def _items(bank: Bank, name: str, count: int, level: str) -> Iterator[Any]:
    for seed in range(count):
        yield generate(bank, name, seed, level)


def _each(work: Callable[[str], T], names: Sequence[str], jobs: int, progress: Progress) -> list[T]:
    if jobs == 1:
        done = []
        for name in names:
            done.append(work(name))
            progress(len(done), len(names))
        return done
    with ProcessPoolExecutor(jobs) as pool:
        waiting = [pool.submit(work, name) for name in names]
        for number, _ in enumerate(as_completed(waiting), 1):
            progress(number, len(names))
        return [one.result() for one in waiting]


def keep(
    instance: Path,
    results: Sequence[AuditResult],
    version: str,
    count: int,
    level: str,
    now: datetime,
) -> Path:
    """Keep an audit beside the database, in place of the one before; gives the file."""
    kept = {
        "at": now.isoformat(),
        "bank_version": version,
        "count": count,
        "level": level,
        "results": [_short(one) for one in results],
    }
    path, new = instance / FILE, instance / f"{FILE}.new"
    new.write_text(json.dumps(kept, ensure_ascii=False, indent=1), encoding="utf-8")
    new.replace(path)
    return path


def _short(result: AuditResult) -> dict[str, Any]:
    """The result with the first findings: enough to see what is wrong."""
    return asdict(result) | {"findings": [asdict(one) for one in result.findings[:SHOWN]]}


def last(instance: Path) -> Kept | None:
    """The audit that was kept, or None if there is none that can be read."""
    try:
        raw = json.loads((instance / FILE).read_text(encoding="utf-8"))
        return Kept(
            datetime.fromisoformat(raw["at"]),
            raw["bank_version"],
            raw["count"],
            raw["level"],
            tuple(_result(one) for one in raw["results"]),
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _result(raw: dict[str, Any]) -> AuditResult:
    findings = tuple(Finding(**one) for one in raw["findings"])
    return AuditResult(raw["family"], raw["items"], findings, raw["figures"], raw["best_way"])
