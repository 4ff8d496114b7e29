"""A set of new questions as a QTI 3.0 package, for whoever teaches with other tools."""

import secrets
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from trainer.core.exchange.qti import QuestionSet, package
from trainer.core.exchange.qti_check import package_faults
from trainer.core.exchange.zip_files import zipped
from trainer.core.knowledge.bank import Bank
from trainer.store.unit import Unit
from trainer.use_cases.draw_questions import SEEDS, Wish, draw_questions
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import REVIEWERS

MOST = 60


def give_out(unit: Unit, bank: Bank, wish: Wish, title: str, minutes: int, now: datetime) -> bytes:
    """New questions that nobody has seen, as a zip; who took what out stands in the log.

    The wish's seed is not used: a fresh one is drawn. Raises Forbidden, InputProblem.
    """
    unit.viewer.must_be(*REVIEWERS)
    if not 1 <= wish.count <= MOST:
        raise InputProblem(f"is not 1 to {MOST}", "count", f"Ask for {MOST} at most.")
    fresh = replace(wish, seed=secrets.randbelow(SEEDS))
    content = zipped(packed(bank, fresh, title, minutes))
    said = {"count": fresh.count, "seed": fresh.seed, "level": fresh.level, "bank": bank.version}
    said |= {"method": fresh.method or "", "topic": fresh.topic or "", "type": fresh.type or ""}
    log(unit, "questions.given_out", said, now, person_id=unit.viewer.person_id)
    return content


def packed(bank: Bank, wish: Wish, title: str, minutes: int) -> dict[str, str]:
    """The files of a package. A question that comes twice stands in it once."""
    items = {item.heading.id: item for item in draw_questions(bank, wish)}
    return package(QuestionSet(title, tuple(items.values()), minutes))


def checked(files: Mapping[str, str], schema: Mapping[str, bytes] | None = None) -> list[str]:
    """What is wrong with a package, by our grammar, its references and, if given, a schema.

    Raises InputProblem if the schema's files cannot be used.
    """
    try:
        return package_faults({name: text.encode() for name, text in files.items()}, schema)
    except ValueError as problem:
        raise InputProblem(
            str(problem), "--schema", "Give the folder of the QTI 3.0 XSD."
        ) from None
