"""Words from templates: the only place where the core renders text."""

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import lru_cache
from typing import Any

import inflect
from jinja2 import Environment, StrictUndefined, Template, UndefinedError

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
    "capitalize": str.capitalize,
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


PLAIN = re.compile(r"\{\{ *([a-z_A-Z]+)((?: *\| *[a-z_]+)*) *\}\}")
"""A name, passed through filters or not: by far the most of what templates hold."""
UNTIDY = re.compile(r"[^\S ]|  ")
Fill = Callable[[Mapping[str, Any]], str]
Gap = tuple[str, tuple[Callable[[Any], Any], ...]]


@lru_cache(maxsize=4096)
def _compiled(text: str) -> Fill:
    """A function from values to words: the template engine only where more than names is asked."""
    parts = PLAIN.split(text)
    fixed, gaps = parts[::3], _gaps(parts[1::3], parts[2::3])
    if gaps is None or any("{" in said for said in fixed):
        return _by_engine(ENVIRONMENT.from_string(text))
    first, pairs = fixed[0], tuple(zip(gaps, fixed[1:], strict=True))

    def fill(values: Mapping[str, Any]) -> str:
        said = [first]
        for (name, filters), after in pairs:
            try:
                value = values[name]
            except KeyError:
                raise UndefinedError(f"{name!r} is undefined") from None
            for one in filters:
                value = one(value)
            said += (str(value), after)
        return "".join(said)

    return fill


def _gaps(names: Sequence[str], piped: Sequence[str]) -> list[Gap] | None:
    """Names with their filters; None where a filter is not one of ours."""
    asked = [pipe.replace("|", " ").split() for pipe in piped]
    if any(word not in OURS for words in asked for word in words):
        return None
    return [
        (name, tuple(OURS[word] for word in words))
        for name, words in zip(names, asked, strict=True)
    ]


def _by_engine(template: Template) -> Fill:
    """The template's own `render`, without building its globals anew each time."""
    known = dict(template.globals)

    def fill(values: Mapping[str, Any]) -> str:
        context = template.new_context({**known, **values}, shared=True)
        return "".join(template.root_render_func(context))

    return fill


def render(text: str, values: Mapping[str, Any]) -> str:
    """The words of a template, white space tidied: paragraphs stay, runs of blanks do not.

    Raises jinja2's UndefinedError if the template asks for what is not there.
    """
    said = _compiled(text)(values) if "{" in text else text
    if not UNTIDY.search(said):
        return said.strip()
    paragraphs = (" ".join(part.split()) for part in said.split("\n\n"))
    return "\n\n".join(part for part in paragraphs if part)
