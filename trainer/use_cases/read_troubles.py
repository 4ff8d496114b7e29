"""The method book: what to do when something goes wrong, and care at home."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.home_care import Care
from trainer.core.knowledge.trouble import TROUBLE_KINDS, Trouble
from trainer.core.marking.feedback import FactLine, fact_line
from trainer.core.scenarios.wording import render, sentence, with_article

WORDS = "en/book"
FIRST_AID = "firstaid."
"""How the ids of the first-aid facts begin (question_bank/shared/first_aid.toml)."""
NAMING = ("name", "they")


@dataclass(frozen=True, slots=True)
class WentWrong:
    """A trouble in words for one method. `also`: other ways in which it shows.

    `wrong`: what people do instead, and why not.
    """

    id: str
    seen: str
    also: tuple[str, ...]
    do: str
    because: str
    wrong: tuple[tuple[str, str], ...]
    facts: tuple[FactLine, ...]


@dataclass(frozen=True, slots=True)
class TroubleGroup:
    """Troubles of one kind, under their title."""

    title: str
    troubles: tuple[WentWrong, ...]


@dataclass(frozen=True, slots=True)
class CareLine:
    """A line on care at home, with the facts that it rests on."""

    care: Care
    facts: tuple[FactLine, ...]


@dataclass(frozen=True, slots=True)
class HomeCare:
    """Lines that hold for a method, and lines that are wrong for it."""

    holds: tuple[CareLine, ...]
    wrong: tuple[CareLine, ...]


def troubles(bank: Bank, method: str) -> tuple[TroubleGroup, ...]:
    """What can go wrong with a method, by kind; a kind without any is left out."""
    titles: Mapping[str, str] = bank.wording.get(WORDS, {}).get("troubles", {})
    groups = (
        TroubleGroup(
            titles.get(kind, kind),
            tuple(went_wrong(bank, one, method) for one in bank.troubles_of(method, kind)),
        )
        for kind in TROUBLE_KINDS
    )
    return tuple(group for group in groups if group.troubles)


def first_aid(bank: Bank) -> tuple[FactLine, ...]:
    """What to do when somebody is hurt or ill: the facts of the first-aid sheet, in its order."""
    return tuple(
        fact_line(bank, fact) for fact in bank.facts.values() if fact.id.startswith(FIRST_AID)
    )


def went_wrong(bank: Bank, trouble: Trouble, method: str) -> WentWrong:
    """One trouble as the book says it."""
    said = _words(bank, method)
    seen, *also = (_said(text, said) for text in trouble.seen)
    return WentWrong(
        trouble.id,
        seen,
        tuple(also),
        _said(trouble.do[-1], said),
        sentence(trouble.because),
        tuple(
            (_said(one.text, said), one.note)
            for one in trouble.wrong
            if bank.covers(one.methods, method)
        ),
        _facts(bank, trouble.facts, method),
    )


def home_care(bank: Bank, method: str) -> HomeCare:
    """What is advised for home, and what is not."""
    holds, wrong = (
        tuple(
            CareLine(line, _facts(bank, line.facts, method)) for line in bank.care_of(method, right)
        )
        for right in (True, False)
    )
    return HomeCare(holds, wrong)


def _facts(bank: Bank, names: Sequence[str], method: str) -> tuple[FactLine, ...]:
    return tuple(fact_line(bank, bank.facts[name], method) for name in names)


def _said(text: str, words: Mapping[str, Any]) -> str:
    """In whole; who was named in the sentence is not named again."""
    named = any(f"{{{{ {who}" in text for who in NAMING)
    return sentence(render(text, {**words, "their": "their"} if named else words))


def _words(bank: Bank, method: str) -> dict[str, Any]:
    """The book's words for the client, and the method's own."""
    found = bank.methods[method]
    return dict(bank.wording.get(WORDS, {}).get("client", {})) | {
        "hair": found.noun,
        "some_hair": with_article(found.noun) if found.countable else found.noun,
        "away": found.away,
        "attachment": found.attachment,
        "attachments": found.attachments,
    }
