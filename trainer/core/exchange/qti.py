"""Question sets as a QTI 3.0 package: items, a test over them, pictures and a manifest.

1EdTech QTI 3.0 (2022), Assessment, Section, Test and Item information model and content packaging.
The parts of an item come from its item type; here they become documents.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element, tostring

from trainer.core.items.exported import CRITICAL, SCORE, el, of, outcome, put
from trainer.core.items.exporting import paragraphs, picture, plain_id
from trainer.core.items.item import Item
from trainer.core.items.registry import type_of

ITEMS = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
PACKAGE = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
ITEM_KIND, TEST_KIND = "imsqti_item_xmlv3p0", "imsqti_test_xmlv3p0"
MANIFEST, TEST = "imsmanifest.xml", "test.xml"
LANGUAGE = "en-GB"
FEEDBACK, EXPLANATION = "FEEDBACK", "explanation"
SECONDS = 60
"""A zip's files need a date; always the same, so that the same set gives the same bytes."""
CAUTION = (
    "A training aid. Follow the maker's instructions, local law and licensing. Anything wrong with"
    " a scalp goes to a licensed health professional."
)
LOOKS = (
    "<style>svg{color:#000;background:#fff}text{font-family:sans-serif}"
    ".fig-solid,.fig-hold{fill:#fff}.fig-skin{fill:#f3ddcb;stroke:none}.fig-frame{stroke:#999}"
    ".fig-next{opacity:.5}.fig-added,.fig-strand{stroke:#7a4a2b}.fig-strip{fill:#eee}</style>"
)
"""How a drawing looks where our style sheet is not."""


@dataclass(frozen=True, slots=True)
class QuestionSet:
    """Questions for one package. `minutes`: the time limit of the whole; 0 for none."""

    title: str
    items: tuple[Item, ...]
    minutes: int = 0


def package(questions: QuestionSet) -> dict[str, str]:
    """Every file of the package by its path. Raises ValueError if an item stands in it twice."""
    ids = [plain_id(item) for item in questions.items]
    if len(set(ids)) < len(ids):
        raise ValueError("an item stands in the set twice")
    files = {MANIFEST: _written(_manifest(questions.items)), TEST: _written(_test(questions))}
    for item in questions.items:
        files[_path(item)] = _written(item_document(item))
        if item.figure:
            files[_picture(item)] = _drawn(item.figure["svg"])
    return files


def item_document(item: Item) -> Element:
    """One question: `qti-assessment-item`, with its explanation as feedback."""
    kind = type_of(item)
    parts = kind.export(item)
    stem = paragraphs(item.stem)
    figure = [el("p", picture(item))] if item.figure and not parts.holds_figure else []
    score = outcome(SCORE, "float", 0)
    score.attrib |= {"normal-maximum": "1", "normal-minimum": "0"}
    score.set("mastery-value", f"{parts.enough:g}")
    root = el(
        "qti-assessment-item",
        *parts.responses,
        score,
        outcome(CRITICAL, "float", 0),
        outcome(FEEDBACK, "identifier", "none" if parts.adaptive else EXPLANATION),
        *parts.outcomes,
        el("qti-item-body", *stem, *figure, *parts.body),
        parts.processing,
        _feedback(item, kind.say_key(item)),
        xmlns=ITEMS,
        identifier=plain_id(item),
        title=_title(item),
        label=item.heading.id,
        adaptive=str(parts.adaptive).lower(),
        time_dependent="false",
    )
    root.set("xml:lang", LANGUAGE)
    return root


def _title(item: Item) -> str:
    """What it is about, without a hint: method and topic."""
    method, topic = (w.replace("_", " ") for w in (item.heading.method, item.heading.topic))
    return f"{method.capitalize()}: {topic}"


def _feedback(item: Item, right: Sequence[str]) -> Element:
    lines = [el("li", line) for line in right]
    words = [el("p", "Right is:"), el("ul", *lines), *paragraphs(item.explanation)]
    return el(
        "qti-modal-feedback",
        el("qti-content-body", *words),
        outcome_identifier=FEEDBACK,
        identifier=EXPLANATION,
        show_hide="show",
    )


def _drawn(svg: str) -> str:
    """A drawing that can stand alone."""
    opening, rest = svg.split(">", 1)
    return f"{opening}>{LOOKS}{rest}"


def _test(questions: QuestionSet) -> Element:
    """The test: a section a topic, in the order in which topics first come."""
    topics: dict[str, list[Item]] = {}
    for item in questions.items:
        topics.setdefault(item.heading.topic, []).append(item)
    limit = [el("qti-time-limits", max_time=questions.minutes * SECONDS)]
    caution = el(
        "qti-rubric-block",
        el("qti-content-body", el("p", CAUTION)),
        view="candidate",
        use="instructions",
    )
    part = el(
        "qti-test-part",
        el("qti-item-session-control", max_attempts=1, show_feedback="true"),
        caution,
        *(_section(topic, items) for topic, items in topics.items()),
        identifier="part-1",
        navigation_mode="nonlinear",
        submission_mode="individual",
    )
    root = el(
        "qti-assessment-test",
        *(outcome(name, "float", 0) for name in (SCORE, CRITICAL)),
        *(limit if questions.minutes else []),
        part,
        el("qti-outcome-processing", *(_sum(name) for name in (SCORE, CRITICAL))),
        xmlns=ITEMS,
        identifier="test",
        title=questions.title,
    )
    root.set("xml:lang", LANGUAGE)
    return root


def _section(topic: str, items: Sequence[Item]) -> Element:
    return el(
        "qti-assessment-section",
        *(
            el(
                "qti-assessment-item-ref",
                identifier=_reference(item),
                href=_path(item),
                category=" ".join(_categories(item)),
            )
            for item in items
        ),
        identifier=f"section-{topic}",
        title=topic.replace("_", " ").capitalize(),
        visible="true",
    )


def _categories(item: Item) -> list[str]:
    heading = item.heading
    every = [heading.method, heading.service, heading.topic, heading.type, heading.level]
    return [*every, "critical"] if item.critical else every


def _sum(name: str) -> Element:
    return put(name, of("sum", of("test-variables", variable_identifier=name)))


def _manifest(items: Sequence[Item]) -> Element:
    test = el(
        "resource",
        el("file", href=TEST),
        *(el("dependency", identifierref=_reference(item)) for item in items),
        identifier="test",
        type=TEST_KIND,
        href=TEST,
    )
    return el(
        "manifest",
        el("metadata", el("schema", "QTI Package"), el("schemaversion", "3.0.0")),
        el("organizations"),
        el("resources", test, *(_resource(item) for item in items)),
        xmlns=PACKAGE,
        identifier="package",
    )


def _resource(item: Item) -> Element:
    return el(
        "resource",
        el("file", href=_path(item)),
        *([el("file", href=_picture(item))] if item.figure else []),
        identifier=_reference(item),
        type=ITEM_KIND,
        href=_path(item),
    )


def _reference(item: Item) -> str:
    return f"item-{plain_id(item)}"


def _path(item: Item) -> str:
    return f"items/{plain_id(item)}.xml"


def _picture(item: Item) -> str:
    return f"pictures/{plain_id(item)}.svg"


def _written(root: Element) -> str:
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(root, encoding="unicode")
