"""`trainer restore`: a backup back into an empty instance."""

from pathlib import Path

import click

from trainer import clock
from trainer.cli.backup import SECRETS
from trainer.cli.instance import instance_at
from trainer.cli.lines import answer_no, print_json
from trainer.use_cases.restore import restore


@click.command(
    name="restore", epilog="Example: trainer restore monday.zip --secrets monday-keys.zip"
)
@click.argument("file", type=click.Path(path_type=Path))
@SECRETS
@click.option("--keys-lost", is_flag=True, help="Go on without the keys that signed until then.")
def command(file: Path, secrets: Path | None, keys_lost: bool) -> None:
    """Bring FILE back: all of it or nothing, into an empty database and instance folder.

    The database may be of the other kind: this is the way from SQLite to PostgreSQL too. Ends
    with 1 if the log that came back does not hold.
    """
    with instance_at() as (work, settings):
        done = restore(work, settings.instance, file, secrets, keys_lost, clock.now())
    told = {
        "events": done.log.events,
        "breaks": list(done.log.breaks),
        "notes": list(done.log.notes),
    }
    of = {"made_at": done.made_at, "tables": dict(done.tables), "files": done.files}
    print_json({**of, "log": told})
    if done.log.breaks:
        answer_no()
