"""Question sets as QTI 3.0 packages: sound by grammar and references, marked there as here."""

import csv
from io import BytesIO
from pathlib import Path
from xml.etree.ElementTree import tostring
from zipfile import ZipFile

import pytest

from tests.support.qti_answers import marked_outside, some_responses
from trainer.core.draw import Draw
from trainer.core.exchange import qti, qti_check
from trainer.core.exchange.zip_files import zipped
from trainer.core.items.registry import ITEM_TYPES, type_of
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate

CASES = Path(__file__).parent / "cases" / "qti"
INVALID = list(csv.DictReader((CASES / "invalid.csv").read_text().splitlines()))
EACH = 8


@pytest.fixture(scope="module")
def some_items(bank):
    """Items of every type, from families drawn at random, critical ones and others."""
    chance, found = Draw("exported"), {}
    for kind in ITEM_TYPES:
        every = families(bank, type=kind)
        drawn = chance.some(every, min(EACH, len(every)))
        found[kind] = [generate(bank, one.id, chance.below(9999), "working") for one in drawn]
    return found


@pytest.fixture(scope="module")
def files(some_items):
    items = tuple(item for some in some_items.values() for item in some[:3])
    return qti.package(qti.QuestionSet("Three of each", items, minutes=40))


@pytest.mark.parametrize("kind", sorted(ITEM_TYPES))
def test_the_outside_marks_as_we_do(some_items, kind):
    seen = set()
    for item in some_items[kind]:
        document = tostring(qti.item_document(item), encoding="unicode")
        for response in some_responses(item, Draw(item.heading.id)):
            ours = type_of(item).mark(item, type_of(item).accept(response, item))
            score, harm = marked_outside(document, item, response)
            assert score == pytest.approx(ours.score, abs=1e-5), (item.heading.id, response)
            assert harm == ours.critical_error, (item.heading.id, response)
            seen.add((round(score, 2), harm))
    assert {1.0, 0.0} <= {score for score, _ in seen} or len(seen) > 8
    critical = any(item.critical for item in some_items[kind])
    assert any(harm for _, harm in seen) == critical


def test_every_document_keeps_the_grammar_and_names_only_what_is_there(files):
    found = qti_check.package_faults({name: text.encode() for name, text in files.items()})
    assert found == []


@pytest.mark.parametrize("path", sorted((CASES / "valid").glob("*.xml")), ids=lambda p: p.stem)
def test_the_sound_cases_are_sound(path):
    assert qti_check.faults(qti_check.read_document(path.read_bytes())) == []


@pytest.mark.parametrize("case", INVALID, ids=lambda case: case["why"])
def test_the_broken_cases_break_where_they_say(case):
    root = qti_check.read_document((CASES / case["file"]).read_bytes())
    broken_grammar = bool(qti_check.grammar_faults(root))
    assert broken_grammar == (case["breaks"] == "grammar")
    assert qti_check.faults(root) != []


def changed(files, name, old, new):
    return {**files, name: files[name].replace(old, new, 1)}


def test_a_package_that_does_not_hold_together_is_told(files):
    item = next(name for name in files if name.startswith("items/point") or "map" in name)
    picture = next(name for name in files if name.startswith("pictures/"))
    gone = {name: text for name, text in files.items() if name != picture}
    first = files[qti.MANIFEST].split('identifierref="', 1)[1].split('"', 1)[0]
    broken = {
        "lists pictures/": gone,
        "does not list stray.txt": {**files, "stray.txt": ""},
        "which is no resource": changed(files, qti.MANIFEST, f'"{first}"', '"item-nothing"'),
        "is not there": {name: text for name, text in files.items() if name != qti.MANIFEST},
        "is no XML": {**files, item: "<a>"},
        "is no file of its resource": changed(files, item, "../pictures/", "../pictures/other-"),
    }
    for words, some in broken.items():
        found = qti_check.package_faults({name: text.encode() for name, text in some.items()})
        assert any(words in one for one in found), (words, found)


def test_the_zip_is_the_same_each_time_and_holds_every_file_once(files):
    content = zipped(files)
    assert content == zipped(files)
    names = ZipFile(BytesIO(content)).namelist()
    assert sorted(names) == sorted(files)
    assert qti.MANIFEST in names


def test_an_item_stands_in_a_set_once(some_items):
    (one, *_) = some_items["choose_one"]
    with pytest.raises(ValueError, match="twice"):
        qti.package(qti.QuestionSet("Twice", (one, one)))


def test_words_of_a_picture_do_not_name_its_key(some_items):
    for item in some_items["point_at_figure"]:
        document = tostring(qti.item_document(item), encoding="unicode")
        assert 'alt=""' not in document
        (key,) = item.key
        alt = " ".join(item.figure["alt"].split())
        assert all(word not in alt.lower() for word in ("correct", "wrong", "right answer")), key


def inside(coords, x, y):
    """Whether a point lies in a convex outline given by its corners; two corners are a box."""
    sides = [int(side) for side in coords.split(",")]
    corners = list(zip(sides[::2], sides[1::2], strict=True))
    if len(corners) == 2:
        (left, top), (right, bottom) = corners
        return left <= x <= right and top <= y <= bottom
    turns = {
        (bx - ax) * (y - ay) > (by - ay) * (x - ax)
        for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True)
    }
    return len(turns) == 1


def test_places_in_the_picture_hold_what_ours_do_and_nothing_of_the_others(some_items):
    """A pixel is a quarter of a millimetre of the drawing."""
    shapes = set()
    for item in some_items["point_at_figure"]:
        spots = list(qti.item_document(item).iter("qti-hotspot-choice"))
        shapes |= {spot.get("shape") for spot in spots}
        assert [one.get("identifier") for one in spots] == [o.id for o in item.options]
        for region in item.figure["regions"]:
            for left, top, width, height in region["boxes"]:
                middle = (4 * (left + width / 2), 4 * (top + height / 2))
                held = [s.get("identifier") for s in spots if inside(s.get("coords"), *middle)]
                assert held == [region["id"]]
    assert shapes == {"rect", "poly"}


def test_documents_read_nothing_from_outside(tmp_path):
    """An entity that names a file stays unread (OWASP, XML External Entity Prevention)."""
    secret = tmp_path / "secret.txt"
    secret.write_text("not for you")
    text = f'<!DOCTYPE a [<!ENTITY b SYSTEM "{secret.as_uri()}">]><a>&b;</a>'
    assert "not for you" not in "".join(qti_check.read_document(text.encode()).itertext())


XSD = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" elementFormDefault="qualified"
 xmlns="{space}" targetNamespace="{space}">
<xs:include schemaLocation="https://schemas.invalid/parts.xsd"/>
<xs:element name="qti-assessment-item" type="Item"/></xs:schema>"""
PARTS = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="{space}">
<xs:complexType name="Item"><xs:sequence><xs:any processContents="skip" maxOccurs="unbounded"/>
</xs:sequence><xs:attribute name="{name}" use="required"/><xs:anyAttribute processContents="skip"/>
</xs:complexType></xs:schema>"""


def test_somebody_elses_schema_is_held_against_a_document_without_fetching(some_items):
    """The official XSD may not be copied here: a schema of our own in its place, in two files."""
    document = tostring(qti.item_document(some_items["number"][0]))
    root = qti_check.read_document(document)

    def found(name):
        files = {"main.xsd": XSD, "parts.xsd": PARTS}
        filled = {n: t.format(space=qti.ITEMS, name=name).encode() for n, t in files.items()}
        return qti_check.schema_faults(root, filled)

    assert found("identifier") == []
    assert any("required" in one for one in found("never-there"))
    with pytest.raises(ValueError, match="no schema file"):
        qti_check.schema_faults(root, {"other.xsd": b"<a targetNamespace='b'/>"})
    with pytest.raises(ValueError, match="fit together"):
        qti_check.schema_faults(root, {"main.xsd": XSD.format(space=qti.ITEMS).encode()})
