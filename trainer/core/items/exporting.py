"""What the item types share when they are given out: options, the figure, and how marks are set."""

from collections.abc import Mapping, Sequence
from xml.etree.ElementTree import Element

from trainer.core.items.exported import (
    CRITICAL,
    RESPONSE,
    SCORE,
    any_of,
    base,
    el,
    of,
    put,
    right_when,
    var,
    when,
)
from trainer.core.items.item import Item

MATCH_CORRECT = "https://purl.imsglobal.org/spec/qti/v3p0/rptemplates/match_correct.xml"
PIXELS_PER_MM = 4
"""Places in a picture are whole pixels there; ours are mm of the drawing."""


def choices(item: Item, tag: str, question: str, **limits: str | float) -> Element:
    """The options, in the order in which they were lettered."""
    return el(
        tag,
        el("qti-prompt", question),
        *(el("qti-simple-choice", one.text, identifier=one.id) for one in item.options),
        response_identifier=RESPONSE,
        shuffle="false",
        **limits,
    )


def picture(item: Item) -> Element:
    """The item's figure as an image; its words do not give the key away."""
    figure = item.figure or {}
    width, height = picture_size(figure["svg"])
    words = " ".join(figure["alt"].split())
    return el("img", src=picture_path(item), alt=words, width=width, height=height)


def picture_path(item: Item) -> str:
    """Where the picture stands, seen from the item."""
    return f"../pictures/{plain_id(item)}.svg"


def picture_size(svg: str) -> tuple[int, int]:
    """Width and height in pixels of a drawing whose viewBox is in mm."""
    sides = svg.split('viewBox="', 1)[1].split('"', 1)[0].split()[2:]
    width, height = (round(float(side) * PIXELS_PER_MM) for side in sides)
    return width, height


def plain_id(item: Item) -> str:
    """The item's id as XML takes one: no colon."""
    return item.heading.id.replace(":", "-")


def paragraphs(text: str) -> list[Element]:
    """A text as paragraphs, split where it leaves a line free."""
    return [el("p", " ".join(part.split())) for part in text.split("\n\n") if part.strip()]


def harm(item: Item, wrongs: Mapping[str, Element]) -> list[Element]:
    """The rules that set CRITICAL_ERROR as `Item.injured_by` does.

    `wrongs`: what can be wrong with a response, by its name among the item's misconceptions,
    and the test for it. A wrong without a belief counts unless too careful a belief shows too.
    """
    if not item.critical:
        return []
    careful = [w for w in wrongs if item.misconceptions.get(w) in item.too_careful]
    bare = [w for w in wrongs if not item.misconceptions.get(w) and careful]
    grave = [w for w in wrongs if w not in careful and w not in bare]
    tests = [wrongs[one] for one in grave]
    if bare:
        no_belief_of_care = of("not", any_of([wrongs[one] for one in careful]))
        tests.append(of("and", any_of([wrongs[one] for one in bare]), no_belief_of_care))
    return [when((any_of(tests), [put(CRITICAL, base("float", 1))]))] if tests else []


def by_correct(item: Item, wrongs: Mapping[str, Element]) -> Element:
    """The standard's own marking where nothing can injure; else the same written out."""
    rules = harm(item, wrongs)
    if not rules:
        return el("qti-response-processing", template=MATCH_CORRECT)
    right = right_when(of("match", var(), el("qti-correct", identifier=RESPONSE)))
    return el("qti-response-processing", right, *rules)


def by_slips(item: Item, right: Element, slips: Sequence[tuple[Element, str]]) -> Element:
    """Right, or the first slip (its test, its belief) that the answer shows, or a stray answer."""
    gave = [put(CRITICAL, base("float", 1))]
    nothing = [put(CRITICAL, base("float", 0))]
    branches = [(test, gave if item.injured_by([belief]) else nothing) for test, belief in slips]
    return el(
        "qti-response-processing",
        when(
            (right, [put(SCORE, base("float", 1))]),
            *(branches if item.critical else []),
            otherwise=gave if item.critical else (),
        ),
    )
