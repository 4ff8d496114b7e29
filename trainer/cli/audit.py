"""`trainer audit`: are the questions sound?"""

import os
from dataclasses import asdict

import click

from trainer import clock
from trainer.cli.audit_tables import audit_table, capacity_table
from trainer.cli.lines import answer_no, print_json
from trainer.core.knowledge.bank import Bank
from trainer.core.problems import InputProblem
from trainer.core.scenarios.case import LEVELS
from trainer.core.scenarios.family import Family, families, family
from trainer.settings import prepare, read_settings
from trainer.use_cases import audit_questions
from trainer.use_cases.open_bank import open_bank


@click.command(name="audit", epilog="Example: trainer audit --count 200")
@click.option("--family", "name", help="Only this family.")
@click.option("--method", help="Only families on this method.")
@click.option("--count", type=click.IntRange(1), default=200, show_default=True, help="Seeds each.")
@click.option("--level", type=click.Choice(LEVELS), default="working", show_default=True)
@click.option("--jobs", type=click.IntRange(1), help="Processes; else one a core.")
@click.option("--capacity", is_flag=True, help="Only count the cases each family holds.")
@click.option("--save", is_flag=True, help="Keep the result in instance/ for the audit page.")
@click.option("--json", "as_json", is_flag=True, help="JSON for machines instead of a table.")
def command(
    name: str | None,
    method: str | None,
    count: int,
    level: str,
    jobs: int | None,
    capacity: bool,
    save: bool,
    as_json: bool,
) -> None:
    """Audit families over many seeds. Ends with 1 if any of them fails.

    With --capacity it counts different cases instead, estimates those not seen yet (Chao 1984),
    and prints what an item model may declare.
    """
    bank = open_bank()
    names = [one.id for one in _chosen(bank, name, method)]
    asked = (names, count, level, jobs or os.cpu_count() or 1, _progress)
    if capacity:
        _capacity(bank, asked, as_json)
        return
    results = audit_questions.audit_families(*asked)
    if save:
        instance = prepare(read_settings()).instance
        now = clock.now()
        path = audit_questions.keep(instance, results, bank.version, count, level, now)
        click.echo(f"Kept in {path}", err=True)
    if as_json:
        print_json([asdict(result) | {"passed": result.passed} for result in results])
    else:
        audit_table(results)
    if not all(result.passed for result in results):
        answer_no()


def _chosen(bank: Bank, name: str | None, method: str | None) -> tuple[Family, ...]:
    chosen = (family(bank, name),) if name else families(bank, method=method)
    if not chosen:
        raise InputProblem("has no families", "--method", f"Use one of {', '.join(bank.methods)}.")
    return chosen


def _capacity(bank: Bank, asked: tuple, as_json: bool) -> None:  # type: ignore[type-arg]
    found = dict(zip(asked[0], audit_questions.capacities(*asked), strict=True))
    if as_json:
        rows = ({"family": name, "to_declare": one.to_declare} for name, one in found.items())
        print_json([row | asdict(found[str(row["family"])]) for row in rows])
    else:
        capacity_table({name: (one, family(bank, name).capacity) for name, one in found.items()})


def _progress(done: int, all_: int) -> None:
    click.echo(f"\r{done} of {all_}", nl=done == all_, err=True)
