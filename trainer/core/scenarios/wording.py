"""Words from templates: the only place where the core renders text."""

import re
from collections.abc import Callable, Mapping
from datetime import date
from functools import lru_cache
from typing import Any

import inflect
from jinja2 import Environment, StrictUndefined, Template

from trainer.core.knowledge.quantity import quantity

ENGINE = inflect.engine()
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@lru_cache(maxsize=2048)
def with_article(noun: str) -> str:
    """'an hour', 'a bead'."""
    return str(ENGINE.a(noun))


@lru_cache(maxsize=2048)
def several(noun: str, count: float = 2) -> str:
    """The plural, unless there is one."""
    return noun if count == 1 else str(ENGINE.plural(noun))


@lru_cache(maxsize=256)
def number_word(count: int) -> str:
    """'three'; figures from ten on."""
    ten = 2 * 2 * 2 + 2
    known = 0 <= count < ten
    return str(ENGINE.number_to_words(count)) if known else str(count)  # type: ignore[arg-type]


def day(value: date) -> str:
    """'Tuesday 3 March'."""
    return f"{DAYS[value.weekday()]} {value.day} {value:%B}"


def listed(things: list[str], last: str = "and") -> str:
    """'a, b and c'."""
    if not things[1:]:
        return "".join(things)
    return f"{', '.join(things[:-1])} {last} {things[-1]}"


def sentence(text: str) -> str:
    """Its first letter large, a stop at the end."""
    text = text.strip()
    ended = text if text[-1:] in ".?!" else f"{text}."
    return ended[:1].upper() + ended[1:]


def sentence_end(text: str) -> str:
    """With a stop at the end, its first letter as it is."""
    text = text.strip()
    return text if text[-1:] in ".?!" else f"{text}."


def lower_first(text: str) -> str:
    """Its first letter small, but for 'I' and abbreviations."""
    second = text[1:2]
    return text if second.isupper() or text.startswith("I ") else text[:1].lower() + text[1:]


def without_stop(text: str) -> str:
    """Without the stop at the end."""
    return text.strip().removesuffix(".")


OURS: Mapping[str, Callable[[Any], Any]] = {
    "a": with_article,
    "several": several,
    "number_word": number_word,
    "day": day,
    "listed": listed,
    "sentence": sentence,
    "sentence_end": sentence_end,
    "lower_first": lower_first,
    "without_stop": without_stop,
}
"""The filters of templates, by name."""


def _environment() -> Environment:
    made = Environment(  # noqa: S701  plain text; pages escape it
        undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, auto_reload=False
    )
    made.filters.update(OURS)
    made.globals.update(quantity=quantity)
    return made


ENVIRONMENT = _environment()


UNTIDY = re.compile(r"[^\S ]|  ")


@lru_cache(maxsize=4096)
def _compiled(text: str) -> Template:
    return ENVIRONMENT.from_string(text)


def render(text: str, values: Mapping[str, Any]) -> str:
    """The words of a template, white space tidied: paragraphs stay, runs of blanks do not.

    Raises jinja2's UndefinedError if the template asks for what is not there.
    """
    said = _compiled(text).render(values) if "{" in text else text
    if not UNTIDY.search(said):
        return said.strip()
    paragraphs = (" ".join(part.split()) for part in said.split("\n\n"))
    return "\n\n".join(part for part in paragraphs if part)
