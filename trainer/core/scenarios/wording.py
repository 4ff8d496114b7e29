"""Words from templates: the only place where the core renders text."""

from collections.abc import Callable, Mapping, MutableMapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any

import inflect
from jinja2 import Environment, StrictUndefined, Template, nodes

from trainer.core.knowledge.quantity import in_words, quantity

ENGINE = inflect.engine()
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


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
    return f"{DAYS[value.weekday()]} {value.day} {MONTHS[value.month - 1]}"


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
    "in_words": in_words,
}
"""The filters of templates, by name."""


PLAIN = (*OURS, "capitalize")
"""Filters that look at nothing but their value."""


class _Words(Environment):
    """Templates that share one plain table of globals, which every rendering looks through."""

    def make_globals(self, d: MutableMapping[str, Any] | None) -> MutableMapping[str, Any]:
        return self.globals


def _environment() -> Environment:
    made = _Words(
        undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, auto_reload=False
    )
    made.filters.update(OURS)
    made.globals.update(quantity=quantity)
    return made


ENVIRONMENT = _environment()
Filters = tuple[Callable[[Any], Any], ...]


@dataclass(frozen=True, slots=True)
class _Gaps:
    """A template without logic, as most are: a text with gaps and what fills each.

    `changed`: a gap and the filters on its value. `source`: the template, which the library reads
    where a name is missing: it knows what to say.
    """

    text: str
    names: tuple[str, ...]
    changed: tuple[tuple[int, Filters], ...]
    source: str

    def render(self, values: Mapping[str, Any]) -> str:
        """The text with its gaps filled."""
        try:
            filled = [values[name] for name in self.names]
        except KeyError:
            return ENVIRONMENT.from_string(self.source).render(values)
        for gap, filters in self.changed:
            for change in filters:
                filled[gap] = change(filled[gap])
        return self.text % tuple(filled)


@lru_cache(maxsize=4096)
def _read(text: str) -> Template | _Gaps:
    pieces = [piece for part in ENVIRONMENT.parse(text).body for piece in _pieces(part)]
    gaps = [_gap(piece) for piece in pieces if not isinstance(piece, nodes.TemplateData)]
    simple = [gap for gap in gaps if gap is not None]
    if len(simple) < len(gaps):
        return ENVIRONMENT.from_string(text)
    said = (_literal(piece) for piece in pieces)
    changed = tuple((n, filters) for n, (_, filters) in enumerate(simple) if filters)
    return _Gaps("".join(said), tuple(name for name, _ in simple), changed, text)


def _pieces(part: nodes.Node) -> list[nodes.Node]:
    return list(part.nodes) if isinstance(part, nodes.Output) else [part]


def _literal(piece: nodes.Node) -> str:
    return piece.data.replace("%", "%%") if isinstance(piece, nodes.TemplateData) else "%s"


def _gap(piece: nodes.Node) -> tuple[str, Filters] | None:
    """The name that fills a gap and the filters on it, first one first; None where it is more."""
    if isinstance(piece, nodes.Name):
        return piece.name, ()
    if not isinstance(piece, nodes.Filter) or piece.node is None or not _is_plain(piece):
        return None
    within = _gap(piece.node)
    return within and (within[0], (*within[1], ENVIRONMENT.filters[piece.name]))


def _is_plain(piece: nodes.Filter) -> bool:
    asked = piece.args or piece.kwargs or piece.dyn_args or piece.dyn_kwargs
    return piece.name in PLAIN and not asked


def render(text: str, values: Mapping[str, Any]) -> str:
    """The words of a template, white space tidied: paragraphs stay, runs of blanks do not.

    Raises jinja2's UndefinedError if the template asks for what is not there.
    """
    said = _read(text).render(values) if "{" in text else text
    if said.isprintable() and "  " not in said:  # no white space but single blanks
        return said.strip()
    paragraphs = (" ".join(part.split()) for part in said.split("\n\n"))
    return "\n\n".join(part for part in paragraphs if part)
