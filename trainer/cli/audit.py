"""`trainer audit`: are the questions sound?"""

from dataclasses import asdict

import click

from trainer.cli.lines import answer_no, print_json, wrong_input_ends
from trainer.core.scenarios.audit import AuditResult, audit
from trainer.core.scenarios.case import LEVELS
from trainer.core.scenarios.family import families, family
from trainer.use_cases.open_bank import open_bank

SHOWN = 3


@click.command(name="audit", epilog="Example: trainer audit --count 200")
@click.option("--family", "name", help="Only this family.")
@click.option("--count", type=click.IntRange(1), default=200, show_default=True, help="Seeds each.")
@click.option("--level", type=click.Choice(LEVELS), default="working", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="JSON for machines instead of a table.")
def command(name: str | None, count: int, level: str, as_json: bool) -> None:
    """Audit families over many seeds. Ends with 1 if any of them fails."""
    with wrong_input_ends():
        bank = open_bank()
        chosen = (family(bank, name),) if name else families(bank)
        results = []
        for number, one in enumerate(chosen, 1):
            click.echo(f"\r{number} of {len(chosen)}", nl=number == len(chosen), err=True)
            results.append(audit(bank, one, count, level))
    if as_json:
        print_json([asdict(result) | {"passed": result.passed} for result in results])
    else:
        _table(results)
    if not all(result.passed for result in results):
        answer_no()


def _table(results: list[AuditResult]) -> None:
    width = max(len(result.family) for result in results)
    heads = ("items", "distinct", "grade", "longest is key", "failures")
    click.echo(f"{'family':{width}}  " + "  ".join(f"{head:>14}" for head in heads))
    for result in results:
        told = result.figures
        longest = f"{told['longest_is_key']:.0%}" if "longest_is_key" in told else "-"
        cells = (
            str(result.items),
            f"{told.get('distinct', 0):.0f}",
            f"{told.get('reading_grade', 0):.1f}",
            longest,
            str(len(result.findings)),
        )
        click.echo(f"{result.family:{width}}  " + "  ".join(f"{cell:>14}" for cell in cells))
        for finding in result.findings[:SHOWN]:
            click.echo(f"{'':{width}}  seed {finding.seed}: {finding.guideline}: {finding.what}")
    failed = sum(not result.passed for result in results)
    click.echo(f"{len(results)} families, {failed} failed")
