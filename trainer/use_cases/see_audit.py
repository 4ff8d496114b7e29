"""The last audit as an instructor reads it, and the guidelines that it keeps."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from statistics import median

from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.audit import AuditResult
from trainer.core.scenarios.audit.guidelines import GUIDELINES, Guideline
from trainer.core.scenarios.audit.run import LEAST_P
from trainer.core.scenarios.family import families
from trainer.use_cases import audit_questions


@dataclass(frozen=True, slots=True)
class Row:
    """One kind of question on one method. `None` where a figure does not apply."""

    title: str
    method: str
    items: int
    distinct: int
    declared: int
    grade: float
    longest: float | None
    chance: float | None
    places_even: bool | None
    places_p: float | None
    gain: float | None
    best_way: str
    findings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Audited:
    """The last audit, of one method or all; `old`: the content has changed since."""

    at: datetime
    old: bool
    count: int
    level: str
    rows: tuple[Row, ...]
    kinds: int
    failed: int
    items: int
    middle: float
    """Median of the different cases that each kind showed."""


def see(
    instance: Path, bank: Bank, method: str = "", only_findings: bool = False
) -> Audited | None:
    """The kept audit, those with findings first; None where none was kept."""
    kept = audit_questions.last(instance)
    if kept is None:
        return None
    found = [one for one in kept.results if method in ("", one.method)]
    titles = {one.id: one.recipe.title for one in families(bank)}
    shown = [one for one in found if not (only_findings and one.passed)]
    shown.sort(key=lambda one: (one.passed, titles.get(one.family, one.family), one.method))
    return Audited(
        at=kept.at,
        old=kept.bank_version != bank.version,
        count=kept.count,
        level=kept.level,
        rows=tuple(_row(one, titles.get(one.family, one.family)) for one in shown),
        kinds=len(found),
        failed=sum(not one.passed for one in found),
        items=sum(one.items for one in found),
        middle=median([one.figures.get("distinct", 0.0) for one in found] or [0.0]),
    )


def guidelines() -> Sequence[Guideline]:
    """Every guideline, in order."""
    return tuple(GUIDELINES.values())


def _row(result: AuditResult, title: str) -> Row:
    told = result.figures
    p = told.get("position_holm")
    return Row(
        title=title,
        method=result.method,
        items=result.items,
        distinct=round(told.get("distinct", 0)),
        declared=round(told.get("declared", 0)),
        grade=told.get("reading_grade", 0.0),
        longest=told.get("longest_is_key"),
        chance=told.get("chance"),
        places_even=None if p is None else p >= LEAST_P,
        places_p=p,
        gain=told.get("way_gain"),
        best_way=result.best_way,
        findings=tuple(f"{one.guideline}: {one.what}" for one in result.findings),
    )
