"""`trainer erase`: take a person out of the site, for good."""

import click

from trainer import clock
from trainer.cli.instance import instance_at
from trainer.cli.lines import answer_no, print_json, print_lines
from trainer.use_cases.ask_to_leave import held_about, waiting_anywhere
from trainer.use_cases.erase_person import erase_now, known
from trainer.use_cases.keep_photos import Album

STAYS = """What other people wrote by hand in notes of their own is not searched for names.
Records of others that were signed with the name as observer keep it.
Backups made before keep the data until they are deleted."""
"""Said before and after, as the screens say it (`web/templates/parts/leaving.html`)."""


@click.command(
    name="erase", epilog="Example: trainer erase nell@example.org --confirm nell@example.org"
)
@click.argument("who", default="")
@click.option("--confirm", default="", help="Their e-mail address once more; then it is done.")
def command(who: str, confirm: str) -> None:
    """Delete everything about WHO, an e-mail address or an id, at once and for good.

    Without WHO: prints who has asked to be taken out, as JSON Lines; also those whom no
    organisation knows, so that no administrator sees them.

    Without --confirm nothing is changed: prints how many rows of each table are about them, and
    ends with 1. What stays, and why, is in DEVELOPERS.md; notes that other people wrote by hand are
    not searched for names. After bringing a backup back, give the same id again.
    """
    with instance_at() as (work, settings):
        if not who:
            with work.reading() as unit:
                print_lines(waiting_anywhere(unit))
            return
        if not confirm:
            with work.reading() as unit:
                person = known(unit, who)
                held = held_about(unit, person.id)
            print_json({"id": person.id, "email": person.email, "rows": held})
            click.echo(STAYS, err=True)
            click.echo("Nothing was changed. Give --confirm with their address.", err=True)
            answer_no()
        with work.writing() as unit:
            done = erase_now(unit, Album(settings.evidence), who, confirm, clock.now())
    rows = {name: count for name, count in done.rows.items() if count}
    print_json(
        {
            "id": done.person_id,
            "number": done.number,
            "rows": rows,
            "log_entries": done.entries,
            "photos": done.photos,
        }
    )
    click.echo(STAYS, err=True)
