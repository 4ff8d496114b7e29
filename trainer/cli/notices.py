"""`trainer notices`: letters to those who asked to be told what needs them."""

import click

from trainer import clock
from trainer.cli.instance import instance_at
from trainer.cli.lines import answer_no, print_json
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.send_notices import Mailing, send_due


@click.group(name="notices", epilog="Example: trainer notices send")
def command() -> None:
    """Letters that say what needs somebody: only to those who asked for them on their page."""


@command.command("send")
def send() -> None:
    """Send the letters that are due; let the machine's own scheduler call this once a day.

    Prints JSON: letters, quiet (nothing needed them), failed. Ends with 1 if any failed.
    """
    with instance_at() as (work, settings):
        mailing = Mailing(
            settings.smtp_url,
            settings.mail_from,
            settings.base_url,
            settings.secret_key,
            settings.ending_days,
        )
        done = send_due(work, open_bank(), mailing, clock.now())
    print_json({"letters": done.letters, "quiet": done.quiet, "failed": list(done.failed)})
    if done.failed:
        answer_no()
