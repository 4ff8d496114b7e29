"""`trainer questions`: generated questions with their computed keys."""

from pathlib import Path

import click

from trainer.cli.bank_rows import known_method
from trainer.cli.lines import answer_no, print_json, print_lines
from trainer.core.exchange.zip_files import zipped
from trainer.core.items.codec import as_contract
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import TOPICS
from trainer.core.problems import InputProblem
from trainer.core.scenarios.case import LEVELS
from trainer.use_cases.draw_questions import Wish, draw_questions
from trainer.use_cases.give_out_questions import checked, packed
from trainer.use_cases.open_bank import open_bank


@click.command(
    name="questions", epilog="Example: trainer questions --count 20 --seed 1 --method tape_in"
)
@click.option("--count", type=click.IntRange(1), required=True, help="How many.")
@click.option(
    "--seed", type=int, required=True, help="Settles every draw: same seed, same questions."
)
@click.option("--method", help="Only this method.")
@click.option("--topic", type=click.Choice(TOPICS), help="Only this topic.")
@click.option("--type", "type_", type=click.Choice(sorted(ITEM_TYPES)), help="Only this type.")
@click.option("--level", type=click.Choice(LEVELS), default="working", show_default=True)
@click.option("--package", help="Write them as a QTI 3.0 package to this zip instead.")
@click.option("--title", default="Questions", show_default=True, help="Of the package's test.")
@click.option("--minutes", type=click.IntRange(0), default=0, help="Its time limit; 0: none.")
@click.option("--schema", help="Folder with the official QTI 3.0 XSD, to check the package by.")
def command(
    count: int,
    seed: int,
    method: str | None,
    topic: str | None,
    type_: str | None,
    level: str,
    package: str | None,
    title: str,
    minutes: int,
    schema: str | None,
) -> None:
    """Print questions as JSON Lines, each with key, explanation, facts and givens."""
    bank = open_bank()
    known_method(bank, method)
    wish = Wish(count, seed, method, topic, type_, level)
    if package:
        _write(bank, wish, title, minutes, Path(package), _schema(schema))
    elif schema:
        raise InputProblem("checks a package", "--schema", "Give --package FILE.zip too.")
    else:
        print_lines(as_contract(item) for item in draw_questions(bank, wish))


def _write(
    bank: Bank,
    wish: Wish,
    title: str,
    minutes: int,
    target: Path,
    schema: dict[str, bytes] | None,
) -> None:
    """Write the package if it is sound; else say what is wrong and answer no."""
    files = packed(bank, wish, title, minutes)
    found = checked(files, schema)
    if found:
        click.echo("\n".join(found), err=True)
        answer_no()
    try:
        target.write_bytes(zipped(files))
    except OSError:
        raise InputProblem("cannot be written", str(target), "Choose another file.") from None
    by = ["our grammar", "references", *(["the schema given"] if schema else [])]
    print_json({"package": str(target), "files": sorted(files), "checked_by": by})


def _schema(folder: str | None) -> dict[str, bytes] | None:
    """The schema's files by name. Raises InputProblem where there are none."""
    if folder is None:
        return None
    found = {path.name: path.read_bytes() for path in sorted(Path(folder).rglob("*.xsd"))}
    if not found:
        raise InputProblem("holds no .xsd file", folder, "Give the folder of the QTI 3.0 XSD.")
    return found
