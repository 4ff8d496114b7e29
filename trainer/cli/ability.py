"""`trainer ability`: people's abilities from responses and the items' parameters."""

import click
import numpy as np

from trainer.cli.lines import print_lines, read_json, read_text
from trainer.core.measurement.ability import eap, grid
from trainer.core.measurement.calibration.parameters import read_parameters
from trainer.core.measurement.calibration.table import read_table
from trainer.core.problems import InputProblem

EPILOG = "Example: trainer ability responses.csv --items parameters.json"


@click.command(name="ability", epilog=EPILOG)
@click.argument("responses", metavar="RESPONSES.csv")
@click.option(
    "--items",
    "parameters",
    required=True,
    metavar="PARAMS.json",
    help="What `trainer calibrate` printed.",
)
def command(responses: str, parameters: str) -> None:
    """Estimate each person's ability theta, with its uncertainty se.

    RESPONSES.csv is as for `trainer calibrate`. theta is the mean and se the standard deviation
    of the posterior, prior N(0, 1). Prints JSON Lines.
    """
    table = read_table(read_text(responses), responses)
    known = read_parameters(read_json(parameters), parameters)
    for item in table.items:
        if item not in known:
            where = f"{responses}, line 1, column {item}"
            raise InputProblem(
                f"has no parameters in {parameters}", where, "Add them, or leave it out."
            )
    families = [known[item] for item in table.items]
    a, b, floor = (
        np.array([getattr(family, name) for family in families]) for name in ("a", "b", "floor")
    )
    mean, sd = eap(table.marks, a, b, floor, grid())
    print_lines(
        {"person": person, "theta": float(theta), "se": float(se)}
        for person, theta, se in zip(table.people, mean, sd, strict=True)
    )
