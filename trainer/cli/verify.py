"""`trainer verify`: check a completion record with its file and the issuer's key, offline."""

import sys
from pathlib import Path

import click

from trainer import clock
from trainer.cli.lines import DONE, NO, WRONG_INPUT, print_json
from trainer.core.problems import InputProblem
from trainer.core.records.keys import PublicKey, read_keys
from trainer.core.records.verify import Verification, verify

LONGEST_KEY_TEXT = 200  # a multibase key has 48 characters; anything longer is a file's name
EPILOG = "Example: trainer verify record.json --issuer-key issuer.pem --status-list revocation.json"


@click.command(name="verify", epilog=EPILOG)
@click.argument("record", metavar="RECORD.json")
@click.option(
    "--issuer-key",
    "issuer_keys",
    required=True,
    multiple=True,
    metavar="K",
    help="The issuer's public key: a file (JWK, PEM, Multikey, multibase, or a DID document with "
    "every key), or multibase text. May be given more than once.",
)
@click.option(
    "--status-list",
    "status_lists",
    multiple=True,
    metavar="F",
    help="A status list of the issuer, as a file. May be given more than once.",
)
def command(record: str, issuer_keys: tuple[str, ...], status_lists: tuple[str, ...]) -> None:
    """Check a completion record. Needs no network and no database.

    Prints JSON: valid, reasons, checks (shape, proof, status, time). Ends with 0 when the record
    is valid, 1 when it is not, 2 when something cannot be read.
    """
    try:
        lists = [_content(name) for name in status_lists]
        keys = [key for given in issuer_keys for key in _keys(given)]
        found = verify(_content(record), keys, lists, clock.now())
    except InputProblem as problem:
        click.echo(str(problem), err=True)
        unread = Verification(False, (f"{problem.where}: {problem.what}.",), {})
        print_json(unread.as_contract())
        sys.exit(WRONG_INPUT)
    print_json(found.as_contract())
    sys.exit(DONE if found.valid else NO)


def _content(name: str) -> bytes:
    try:
        return Path(name).read_bytes()
    except (OSError, ValueError):
        raise InputProblem("the file cannot be read", name, "Check its name.") from None


def _keys(given: str) -> tuple[PublicKey, ...]:
    is_text = given.startswith(("z6Mk", "did:key:")) and len(given) < LONGEST_KEY_TEXT
    return read_keys(given if is_text and not Path(given).exists() else _content(given))
