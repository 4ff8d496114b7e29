"""`trainer mark`: mark responses to questions."""

from collections.abc import Iterator
from typing import Any

import click

from trainer.cli.lines import print_lines, read_json_lines
from trainer.core.items.codec import from_kept
from trainer.core.items.harm import knowing_harm
from trainer.core.items.item import Item
from trainer.core.items.registry import ITEM_TYPES, type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.marking.feedback import Feedback, feedback
from trainer.core.problems import InputProblem
from trainer.use_cases.open_bank import open_bank


@click.command(name="mark", epilog="Example: trainer mark items.jsonl responses.jsonl")
@click.argument("items", metavar="ITEMS.jsonl")
@click.argument("responses", metavar="RESPONSES.jsonl")
def command(items: str, responses: str) -> None:
    """Mark responses ({id, response}) to questions as `trainer questions` prints them."""
    bank = open_bank()
    known = {item.heading.id: knowing_harm(bank, item) for item in _items(items)}
    rows = list(_marks(bank, known, read_json_lines(responses), responses))
    print_lines(rows)


def _items(name: str) -> Iterator[Item]:
    for number, row in enumerate(read_json_lines(name), 1):
        try:
            item = from_kept(row)
            ITEM_TYPES[item.heading.type]
        except (KeyError, TypeError) as problem:
            where = f"{name}, line {number}"
            what = f"is no question: {problem} is missing or unknown"
            raise InputProblem(what, where, "Give lines as `trainer questions` prints.") from None
        yield item


def _marks(
    bank: Bank, known: dict[str, Item], rows: list[Any], name: str
) -> Iterator[dict[str, Any]]:
    for number, row in enumerate(rows, 1):
        where = f"{name}, line {number}"
        if not isinstance(row, dict) or "id" not in row or "response" not in row:
            raise InputProblem("needs id and response", where, "Give both.")
        if row["id"] not in known:
            raise InputProblem(f"answers no question: {row['id']}", where, "Check the id.")
        yield _mark(bank, known[row["id"]], row["response"], where)


def _mark(bank: Bank, item: Item, response: Any, where: str) -> dict[str, Any]:
    kind = type_of(item)
    try:
        said = kind.accept(response, item)
    except InputProblem as problem:
        raise InputProblem(problem.what, f"{where}, response", problem.remedy) from None
    mark = kind.mark(item, said)
    return {
        "id": item.heading.id,
        "score": mark.score,
        "critical_error": mark.critical_error,
        "misconceptions": list(mark.misconceptions),
        "feedback": _words(feedback(bank, item, said, mark)),
    }


def _words(told: Feedback) -> str:
    lines = ["Right." if told.right else "Not right. " + "; ".join(told.key_lines)]
    lines += [told.why, *told.tempts]
    lines += [f"{fact.statement} ({fact.status_words})" for fact in told.facts]
    return "\n".join(line for line in (*lines, told.at_the_chair) if line)
