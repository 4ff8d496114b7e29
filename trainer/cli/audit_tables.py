"""The audit's tables for people."""

from collections.abc import Mapping, Sequence
from statistics import median

import click

from trainer.core.scenarios.audit import AuditResult
from trainer.core.scenarios.audit.capacity import Capacity

SHOWN = 3


def audit_table(results: Sequence[AuditResult]) -> None:
    """A line a family, its first findings below, and the sums.

    'guess': points over chance that the best way to guess from the surface gains.
    """
    width = max(len(result.family) for result in results)
    heads = ("items", "grade", "longest", "p (Holm)", "distinct", "declared", "guess", "findings")
    _line("family", heads, width)
    for result in results:
        told = result.figures
        cells = (
            str(result.items),
            f"{told.get('reading_grade', 0):.1f}",
            f"{told['longest_is_key']:.0%}" if "longest_is_key" in told else "-",
            f"{told['position_holm']:.2g}" if "position_holm" in told else "-",
            f"{told.get('distinct', 0):.0f}",
            f"{told['declared']:.0f}" if told.get("declared") else "-",
            f"{100 * told['way_gain']:+.0f}" if "way_gain" in told else "-",
            str(len(result.findings)),
        )
        _line(result.family, cells, width)
        for finding in result.findings[:SHOWN]:
            seed = "all together" if finding.seed < 0 else f"seed {finding.seed}"
            click.echo(f"{'':{width}}  {seed}: {finding.guideline}: {finding.what}")
    _sums(results)


def _sums(results: Sequence[AuditResult]) -> None:
    failed = sum(not result.passed for result in results)
    items = sum(result.items for result in results)
    distinct = median(result.figures.get("distinct", 0) for result in results)
    promised = [told for one in results if (told := one.figures.get("declared"))]
    click.echo(f"{len(results)} families, {failed} failed; {items} items")
    click.echo(f"Median of distinct cases: {distinct:.0f}", nl=False)
    click.echo(f"; of {len(promised)} declared capacities: {median(promised or [0]):.0f}")


def capacity_table(found: Mapping[str, tuple[Capacity, int]]) -> None:
    """A line a family, and what each item model may declare."""
    width = max(map(len, found))
    heads = ("items", "distinct", "estimated", "95 %", "seen", "alike", "declared", "declare")
    _line("family", heads, width)
    for name, (one, declared) in found.items():
        cells = (
            str(one.items),
            str(one.distinct),
            f"{one.estimated:.0f}",
            f"{one.low:.0f}-{one.high:.0f}",
            f"{one.seen_share:.0%}",
            f"{one.alike:.1%}",
            str(declared or "-"),
            str(one.to_declare),
        )
        _line(name, cells, width)
    middle = median(one.distinct for one, _ in found.values())
    guess = median(one.estimated for one, _ in found.values())
    click.echo(f"Median: {middle:.0f} distinct, {guess:.0f} estimated\n")
    for model, by_method in _by_model(found).items():
        rows = ", ".join(f"{method} = {number}" for method, number in by_method.items())
        click.echo(f"# item_models/{model}.toml\ncapacity = {{ {rows} }}")


def _by_model(found: Mapping[str, tuple[Capacity, int]]) -> dict[str, dict[str, int]]:
    models: dict[str, dict[str, int]] = {}
    for name, (one, _) in found.items():
        model, _, method = name.rpartition(".")
        models.setdefault(model, {})[method] = one.to_declare
    return models


def _line(first: str, cells: Sequence[str], width: int) -> None:
    click.echo(f"{first:{width}}  " + "  ".join(f"{cell:>10}" for cell in cells))
