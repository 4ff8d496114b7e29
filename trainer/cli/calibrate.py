"""`trainer calibrate`: parameters of items from a table of responses."""

from math import isfinite, nan
from typing import Any

import click
import numpy as np

from trainer.cli.lines import print_json, read_text
from trainer.core.measurement.calibration.estimate import (
    Estimates,
    estimate,
    evidence_of,
    without_estimate,
)
from trainer.core.measurement.calibration.mean_squares import over_posterior
from trainer.core.measurement.calibration.model import Model
from trainer.core.measurement.calibration.one_parameter import OneParameter
from trainer.core.measurement.calibration.prior import DEFAULT, NONE
from trainer.core.measurement.calibration.score_groups import s_x2
from trainer.core.measurement.calibration.table import (
    Table,
    read_table,
    refuse_what_has_no_estimate,
)
from trainer.core.measurement.calibration.two_parameter import TwoParameter
from trainer.core.measurement.evidence import Evidence

MODELS: dict[str, Model] = {"rasch": OneParameter(), "2pl": TwoParameter()}
PRIORS = {"none": NONE, "default": DEFAULT}

STEEPEST, FARTHEST = 10.0, 20.0
"""No real item tells people apart so sharply, or lies so far from all of them."""


@click.command(name="calibrate", epilog="Example: trainer calibrate responses.csv --model 2pl")
@click.argument("responses", metavar="RESPONSES.csv")
@click.option(
    "--model",
    type=click.Choice(sorted(MODELS)),
    required=True,
    help="rasch: one slope; 2pl: each its own.",
)
@click.option(
    "--guessing",
    type=click.FloatRange(0, 1, max_open=True),
    default=0.0,
    show_default=True,
    help="Chance of a right guess, the same for every item.",
)
@click.option(
    "--prior",
    type=click.Choice(sorted(PRIORS)),
    default="none",
    show_default=True,
    help="default: slope about 1, difficulty about 0, both loosely held.",
)
@click.option("--fit", is_flag=True, help="Also print how well each item's curve fits.")
def command(responses: str, model: str, guessing: float, prior: str, fit: bool) -> None:
    """Estimate each item's slope a and difficulty b, with standard errors.

    RESPONSES.csv has a row a person: first column `person`, then one column an item, 1 right,
    0 wrong, empty not given; - reads standard input. Prints JSON. --fit adds infit and outfit (1
    is expected) and S-X2 with its p value, from people who answered everything.
    """
    table = read_table(read_text(responses), responses)
    evidence = evidence_of(table.marks)
    if prior == "none":
        lost = without_estimate(evidence)
        refuse_what_has_no_estimate(table, MODELS[model].fewest, lost, responses)
    floor = np.full(len(table.items), guessing)
    found = estimate(evidence, floor, MODELS[model], PRIORS[prior])
    _warn(table.items, found)
    told = _contract(table.items, found, guessing)
    print_json(told | {"fit": _fit(table, evidence, found, MODELS[model])} if fit else told)


def _warn(items: tuple[str, ...], found: Estimates) -> None:
    if not found.converged:
        words = "The estimates did not settle: do not use them. Try --prior default."
        click.echo(words, err=True)
    for item, a, b in zip(items, found.a, found.b, strict=True):
        if abs(a) > STEEPEST:
            click.echo(f"{item}: too few responses to tell how steep it is.", err=True)
        elif abs(a * b) > FARTHEST:
            click.echo(f"{item}: right no oftener than guessing alone would have it.", err=True)
        elif a < 0:
            click.echo(f"{item}: able people do worse on it; check its key.", err=True)


def _contract(items: tuple[str, ...], found: Estimates, guessing: float) -> dict[str, Any]:
    rows = zip(items, found.a, found.b, found.se_a, found.se_b, strict=True)
    return {
        "loglik": found.log_likelihood,
        "n_people": found.people,
        "items": [
            {"item": item, "a": _n(a), "b": _n(b), "se_a": _n(se_a), "se_b": _n(se_b)}
            for item, a, b, se_a, se_b in rows
        ],
        "guessing": guessing,
        "convergence": {
            "converged": found.converged,
            "cycles": found.cycles,
            "change": found.change if isfinite(found.change) else None,
            "gradient": found.gradient,
        },
    }


def _fit(
    table: Table, evidence: Evidence, found: Estimates, model: Model
) -> list[dict[str, Any]] | None:
    """Infit, outfit and S-X2 of each item; S-X2 only where people answered everything."""
    if not found.converged or (found.a <= 0).any():
        return None
    squares = over_posterior(evidence, found.a, found.b, found.floor)
    try:
        groups = s_x2(table.marks, found.a, found.b, found.floor, model.own)
        tests = list(zip(groups.x2, groups.df, groups.p, strict=True))
    except ValueError:
        tests = [(nan, nan, nan)] * len(table.items)
    return [
        {"item": item, "infit": _n(infit), "outfit": _n(outfit)}
        | {"s_x2": _n(x2), "df": _n(df), "p": _n(p)}
        for item, infit, outfit, (x2, df, p) in zip(
            table.items, squares.infit, squares.outfit, tests, strict=True
        )
    ]


def _n(value: float) -> float | None:
    """A number that JSON can hold."""
    return float(value) if isfinite(value) else None
