"""`trainer users`: people and organisations from the command line."""

from datetime import timedelta

import click

from trainer import clock
from trainer.cli.instance import inside, instance_work, opened, tell_asked
from trainer.cli.lines import print_lines
from trainer.settings import read_settings
from trainer.use_cases import administer, offer_membership
from trainer.use_cases.offer_membership import Wanted
from trainer.use_cases.send_offers import JOIN


@click.group(
    name="users",
    epilog="Example: trainer users link ines@example.org",
)
def command() -> None:
    """See and change who may sign in."""


@command.command("organisations")
def organisations() -> None:
    """Print organisations as JSON Lines."""
    with instance_work() as work, work.reading() as unit:
        print_lines(administer.organisations(unit))


@command.command("found", epilog="Example: trainer users found --name 'Rowan Lane' --kind academy")
@click.option("--name", required=True)
@click.option("--kind", type=click.Choice(["academy", "salon", "both"]), required=True)
def found(name: str, kind: str) -> None:
    """Found an organisation; prints its id."""
    with opened() as (unit, _):
        print_lines([{"id": administer.found(unit, name, kind, clock.now())}])


@command.command("list")
def list_() -> None:
    """Print everybody as JSON Lines."""
    with instance_work() as work, work.reading() as unit:
        print_lines(administer.everybody(unit))


@command.command("add")
@click.option("--name", required=True)
@click.option("--email", required=True)
@click.option("--role", "roles", multiple=True, required=True, help="May be given more than once.")
@click.option("--organisation", required=True, help="The organisation's id.")
def add(name: str, email: str, roles: tuple[str, ...], organisation: str) -> None:
    """Ask somebody to belong to an organisation; prints the path of the link to say yes or no.

    They belong to it once they have said yes. Where letters are sent, one goes to them as well.
    """
    wanted = Wanted(name, email, roles)
    lasts = timedelta(days=read_settings().invitation_days)
    with inside(organisation, "administrator") as unit:
        token = offer_membership.offer(unit, wanted, lasts, clock.now())
    tell_asked(organisation, {email: token})
    print_lines([{"email": email, "link": f"{JOIN}/{token}"}])


@command.command("link")
@click.argument("email")
def link(email: str) -> None:
    """Print a one-use link to set a new password."""
    with opened() as (unit, settings):
        lasts = timedelta(hours=settings.recovery_hours)
        print_lines([administer.link(unit, email, lasts, clock.now())])


@command.command("disable")
@click.argument("email")
@click.option("--undo", is_flag=True, help="Open the sign-in again.")
def disable(email: str, undo: bool) -> None:
    """Close somebody's sign-in and end every open visit."""
    with opened() as (unit, _):
        administer.disable(unit, email, not undo, clock.now())
