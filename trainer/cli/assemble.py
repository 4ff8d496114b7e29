"""`trainer assemble`: parallel forms from a table of families and a blueprint."""

import click

from trainer.cli.lines import answer_no, print_json, read_text
from trainer.use_cases.assemble_forms import Forms, assemble_forms

EXAMPLE = "Example: trainer assemble --bank families.csv --blueprint blueprint.toml --forms 2"


@click.command(name="assemble", epilog=EXAMPLE)
@click.option("--bank", required=True, metavar="FAMILIES.csv", help="The families there are.")
@click.option("--blueprint", required=True, metavar="B.toml", help="What a form must contain.")
@click.option("--forms", type=click.IntRange(1), default=1, show_default=True, help="How many.")
def command(bank: str, blueprint: str, forms: int) -> None:
    """Assemble forms that share no family and tell most at the cut, the least of them first.

    FAMILIES.csv has a heading and a line for each family: family, topic, a, b, and if known
    floor, service, type, critical (1 or 0), seconds, words, enemy_set, enemies (ids, blanks
    between), lately (share of the last forms that used it, 0 to 1).

    B.toml has items, minutes, cut_share, and [shares] or [counts] by topic; if wanted
    critical_least, words_most, lately_most, cut_ability, and [services] and [types] with
    { least, most } for each. When a form cannot be made, every demand that the bank cannot meet is
    named and the command ends with 1.
    """
    found = assemble_forms((bank, read_text(bank)), (blueprint, read_text(blueprint)), forms)
    print_json(_json(found))
    if found.made.unmet:
        for line in found.made.unmet:
            click.echo(line, err=True)
        answer_no()


def _json(found: Forms) -> dict[str, object]:
    made = found.made
    return {
        "cut": found.cut,
        "forms": [
            {"families": list(form.families), "information": form.information}
            for form in made.forms
        ],
        "bound": made.bound,
        "gap": made.gap,
        "moved": list(found.moved),
        "unmet": list(made.unmet),
    }
