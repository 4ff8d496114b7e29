"""What an item type gives to an outside format: its parts in the elements of QTI 3.0 items.

Elements have no namespace here; whoever writes the document sets it once at the root. Every
marking sets SCORE, 0..1, and CRITICAL_ERROR, 0 or 1.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

RESPONSE, SCORE, CRITICAL = "RESPONSE", "SCORE", "CRITICAL_ERROR"


@dataclass(frozen=True, slots=True)
class Exported:
    """Parts of one question.

    `responses` and `outcomes` are declarations (SCORE and CRITICAL_ERROR come besides), `body`
    what stands below the stem, `processing` the marking. `adaptive`: more than one attempt, until
    the marking ends it. `holds_figure`: the figure stands in the body already.
    """

    responses: tuple[Element, ...]
    body: tuple[Element, ...]
    processing: Element
    outcomes: tuple[Element, ...] = ()
    adaptive: bool = False
    holds_figure: bool = False
    enough: float = 1.0
    """The score, 0..1, from which the whole counts as right."""


def el(tag: str, *inside: Element | str, **attributes: str | float) -> Element:
    """An element; `_` in the name of an attribute stands for '-', numbers are written short."""
    made = Element(tag, {k.strip("_").replace("_", "-"): written(v) for k, v in attributes.items()})
    for one in inside:
        if not isinstance(one, str):
            made.append(one)
        elif len(made):
            made[-1].tail = (made[-1].tail or "") + one
        else:
            made.text = (made.text or "") + one
    return made


def written(value: str | float) -> str:
    """A value as XML writes it: numbers without a needless point, at twelve figures."""
    return value if isinstance(value, str) else f"{value:.12g}"


# declarations


def response(
    name: str, cardinality: str, base_type: str, correct: Iterable[str | float] = ()
) -> Element:
    """What the candidate gives."""
    right = [el("qti-value", written(value)) for value in correct]
    return el(
        "qti-response-declaration",
        *([el("qti-correct-response", *right)] if right else []),
        identifier=name,
        cardinality=cardinality,
        base_type=base_type,
    )


def outcome(
    name: str, base_type: str, default: str | float | None = None, cardinality: str = "single"
) -> Element:
    """What the marking sets."""
    begin = (
        [el("qti-default-value", el("qti-value", written(default)))] if default is not None else []
    )
    return el(
        "qti-outcome-declaration",
        *begin,
        identifier=name,
        cardinality=cardinality,
        base_type=base_type,
    )


# what can be asked of a response


def of(tag: str, *inside: Element, **attributes: str | float) -> Element:
    """An operator on expressions: 'match' is qti-match."""
    return el(f"qti-{tag}", *inside, **attributes)


def var(name: str = RESPONSE) -> Element:
    """The value of a variable."""
    return el("qti-variable", identifier=name)


def base(base_type: str, value: str | float) -> Element:
    """A fixed value."""
    return el("qti-base-value", written(value), base_type=base_type)


def several(ids: Iterable[str]) -> Element:
    """A set of identifiers."""
    return of("multiple", *(base("identifier", one) for one in ids))


def any_of(tests: Sequence[Element]) -> Element:
    """Whether one of the tests holds; never, without one."""
    return tests[0] if len(tests) == 1 else of("or", *(tests or [base("boolean", "false")]))


def all_of(tests: Sequence[Element]) -> Element:
    """Whether every test holds; always, without one."""
    return tests[0] if len(tests) == 1 else of("and", *(tests or [base("boolean", "true")]))


# rules


def put(name: str, value: Element) -> Element:
    """Set an outcome."""
    return el("qti-set-outcome-value", value, identifier=name)


def add(name: str, value: float, base_type: str = "float") -> Element:
    """Raise an outcome."""
    return put(name, of("sum", var(name), base(base_type, value)))


def when(
    *branches: tuple[Element, Sequence[Element]], otherwise: Sequence[Element] = ()
) -> Element:
    """The rules of the first branch whose test holds, else the other ones."""
    names = ["qti-response-if", *["qti-response-else-if"] * (len(branches) - 1)]
    parts = [el(n, test, *rules) for n, (test, rules) in zip(names, branches, strict=True)]
    rest = [el("qti-response-else", *otherwise)] if otherwise else []
    return el("qti-response-condition", *parts, *rest)


def right_when(test: Element) -> Element:
    """The full score where a test holds."""
    return when((test, [put(SCORE, base("float", 1))]))
