"""Thousands of seeds of a family -> what is wrong with it, each finding with its guideline."""

from collections.abc import Sequence
from dataclasses import replace

from trainer.core.items.codec import as_kept
from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.audit.guidelines import name_of
from trainer.core.scenarios.audit.item import item_findings
from trainer.core.scenarios.audit.result import AuditResult, Finding
from trainer.core.scenarios.audit.together import LOOKS, Looked
from trainer.core.scenarios.family import Family
from trainer.core.scenarios.generate import generate

LEAST_P = 0.001
"""Chance that any sound family at all is called crooked by the place of its keys."""
AGAIN_EVERY = 50
MOST_OF_ONE_KIND = 20
"""Findings kept of one guideline in one family: more say nothing new."""


def audit(bank: Bank, family: Family, count: int, level: str = "working") -> AuditResult:
    """Audit one family over seeds 0..count-1. count >= 1."""
    return settle([examine(bank, family, count, level)])[0]


def examine(bank: Bank, family: Family, count: int, level: str = "working") -> AuditResult:
    """The same, but for what only all families together can settle (see `settle`)."""
    made: list[Item] = []
    findings: list[Finding] = []
    for seed in range(count):
        try:
            item = generate(bank, family.id, seed, level)
        except RuntimeError as problem:
            findings.append(Finding(name_of("design 4.3"), str(problem), seed))
            continue
        made.append(item)
        findings += [Finding(number, what, seed) for number, what in item_findings(bank, item)]
        if seed % AGAIN_EVERY == 0 and as_kept(item) != as_kept(
            generate(bank, family.id, seed, level)
        ):
            findings.append(Finding(name_of("design 4.5"), "another the second time", seed))
    seen = Looked(bank, family, made)
    for look in LOOKS:
        look(seen)
    kept = _not_too_many([*seen.findings, *findings])
    return AuditResult(family.id, len(made), tuple(kept), seen.figures, seen.best_way)


def settle(results: Sequence[AuditResult]) -> list[AuditResult]:
    """Judge the places of keys over all families: chi-square, with Holm's correction.

    Holm, S. 1979, A simple sequentially rejective multiple test procedure, Scandinavian Journal
    of Statistics 6(2), 65-70.
    """
    tested = [n for n, one in enumerate(results) if "position_p" in one.figures]
    corrected = holm([results[n].figures["position_p"] for n in tested])
    settled = list(results)
    for n, p in zip(tested, corrected, strict=True):
        one = results[n]
        figures = one.figures | {"position_holm": p}
        crooked = Finding(name_of("HDR 20"), f"places of the right answer: p = {p:.2g} after Holm")
        findings = (crooked, *one.findings) if p < LEAST_P else one.findings
        settled[n] = replace(one, figures=figures, findings=findings)
    return settled


def holm(chances: Sequence[float]) -> list[float]:
    """p-values (0..1) corrected for being several, in the same order."""
    order = sorted(range(len(chances)), key=lambda n: chances[n])
    corrected, largest = [0.0] * len(chances), 0.0
    for rank, n in enumerate(order):
        largest = max(largest, min(1.0, (len(chances) - rank) * chances[n]))
        corrected[n] = largest
    return corrected


def _not_too_many(findings: Sequence[Finding]) -> list[Finding]:
    """The first of each guideline: a family that fails everywhere need not say so 2,000 times."""
    kept: list[Finding] = []
    so_far: dict[str, int] = {}
    for one in findings:
        so_far[one.guideline] = so_far.get(one.guideline, 0) + 1
        if so_far[one.guideline] <= MOST_OF_ONE_KIND:
            kept.append(one)
    return kept
