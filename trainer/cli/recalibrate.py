"""`trainer recalibrate`: how hard questions are, from the site's own answers."""

from dataclasses import asdict
from typing import Any

import click

from trainer import clock
from trainer.cli.instance import instance_work
from trainer.cli.lines import print_json
from trainer.use_cases import know_growth, recalibrate
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.recalibrate import Made
from trainer.use_cases.work import Work

MOST_MOVED = 20
UNSETTLED = (
    "It did not come to rest: too few people answered, or they hardly differ. It cannot be put"
    " into use. What is in use stays; until then difficulty is judged from features, with honest"
    " uncertainty. Let more people practise, then try again."
)


@click.command(name="recalibrate", epilog="Example: trainer recalibrate")
@click.option("--adopt", "adopted", metavar="ID", help="Put a calibration into use.")
def command(adopted: str | None) -> None:
    """Work out how hard each family is from every answer on this site.

    Keeps a new dated calibration beside the one in use, which it does not touch, and says which
    families moved. With --adopt one is put into use: new questions go by it from then on.
    """
    with instance_work() as work:
        print_json(_adopt(work, adopted) if adopted else _make(work))


def _make(work: Work) -> dict[str, Any]:
    with work.reading() as unit:
        answers, before = recalibrate.gather(unit), recalibrate.present(unit)
        steps = know_growth.gather(unit)
    found = recalibrate.reckon(answers, before, clock.today())
    growth = know_growth.reckon(steps, found)
    with work.writing() as unit:
        made = recalibrate.keep(unit, open_bank(), found, clock.now(), growth)
    if not found.converged:
        click.echo(UNSETTLED, err=True)
    return _contract(made) | {"growth": asdict(growth)}


def _adopt(work: Work, calibration_id: str) -> dict[str, Any]:
    with work.writing() as unit:
        row = recalibrate.adopt(unit, calibration_id, clock.now())
        return {"adopted": row.id, "made_at": row.made_at.isoformat(), "answers": row.responses}


def _contract(made: Made) -> dict[str, Any]:
    found = made.found
    said: dict[str, Any] = {
        "calibration": made.id,
        "people": found.people,
        "answers": found.answers,
        "families": len(found.families),
        "loglik": found.log_likelihood,
        "converged": found.converged,
        "spread": found.outlook.spread,
    }
    if made.moved is not None:
        said["moved"] = [
            {"family": one.family, "shift": one.shift, "sd": one.sd, "z": one.z}
            for one in made.moved.moved
            if one.notable
        ][:MOST_MOVED]
    return said
