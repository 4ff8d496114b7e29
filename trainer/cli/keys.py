"""`trainer keys`: the keys that sign completion records."""

import click

from trainer import clock
from trainer.cli.instance import instance_at, opened
from trainer.cli.lines import print_lines
from trainer.use_cases import rotate_keys

ORGANISATION = click.option("--organisation", default="", help="Its id; every academy without it.")


@click.group(name="keys", epilog="Example: trainer keys rotate --organisation ID")
def command() -> None:
    """See and change the keys that sign completion records."""


@command.command("list")
@ORGANISATION
def list_(organisation: str) -> None:
    """Print every key's public half and what it is for, as JSON Lines."""
    with instance_at() as (work, settings), work.reading() as unit:
        print_lines(rotate_keys.listed(unit, settings.keys, organisation))


@command.command("rotate")
@ORGANISATION
def rotate(organisation: str) -> None:
    """Put a new signing key in the place of the old one. Records signed before stay valid."""
    with opened() as (unit, settings):
        done = list(rotate_keys.rotate(unit, settings.keys, organisation, clock.now()))
    print_lines(done)
