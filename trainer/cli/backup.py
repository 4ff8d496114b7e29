"""`trainer backup`: everything in one file, signing keys apart."""

from pathlib import Path

import click

from trainer import clock
from trainer.cli.instance import instance_at
from trainer.cli.lines import print_json
from trainer.use_cases.back_up import back_up

SECRETS = click.option(
    "--secrets",
    type=click.Path(path_type=Path),
    help="A second file for signing keys and settings. Keep it apart from the first.",
)


@click.command(name="backup", epilog="Example: trainer backup monday.zip --secrets monday-keys.zip")
@click.argument("file", type=click.Path(path_type=Path))
@SECRETS
def command(file: Path, secrets: Path | None) -> None:
    """Copy every table, the log's signed head and photos of work into FILE, as of one moment.

    The site may go on working meanwhile. It holds personal data: keep it as safe as the site.
    """
    with instance_at() as (work, settings):
        done = back_up(work, settings.instance, file, secrets, clock.now())
    print_json({"tables": dict(done.tables), "photos": done.photos, "secrets": done.secrets})
    if not secrets:
        click.echo("The signing keys are not in it. Copy them with --secrets FILE.", err=True)
