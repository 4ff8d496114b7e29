"""The certificate, looked into with pikepdf, pdfua and a reader of QR codes."""

import json
from dataclasses import replace
from datetime import UTC, datetime

import pdfua
import pytest

from tests.core.records.example import NOW, SIGNER, as_bytes, signed_list, signed_record
from tests.support.paper import (
    alternatives,
    loose_fonts,
    opened,
    read_qr,
    said_of_itself,
    tags,
    words_of,
)
from trainer.core.records import certificate as drawn
from trainer.core.records.certificate import NO_NAME, UNPRINTABLE, Certificate, draw
from trainer.core.records.verify import verify

ADDRESS = "https://quayside.example/check/0b7e6a527a0c4d3e9d0e1f6f5a4b3c2d"
PLAIN = Certificate(
    name="Ines Dorval",
    issuer="Quayside Academy",
    attests="passed the assessment and showed at the chair how to fit Tape-in extensions.",
    rows=[
        ("In force", "2 March 2026 to 2 March 2027"),
        ("Assessment score", "35 of 40; 31 needed"),
        ("Observed: fit", "Watched at the chair on 2026-02-27 and signed off by Petra Lindqvist."),
    ],
    address=ADDRESS,
    made=datetime(2026, 3, 2, 9, 30, tzinfo=UTC),
    record=json.dumps(signed_record()),
)
PAPER = draw(PLAIN)


def test_it_is_one_page_that_says_it_all():
    assert len(opened(PAPER).pages) == 1
    words = words_of(PAPER)
    for said in ("Quayside Academy", "Ines Dorval", "35 of 40", "Petra Lindqvist", "patch test"):
        assert said in words
    assert "anything wrong with a scalp goes to a licensed health professional" in words


def test_it_is_tagged_titled_and_in_english():
    pdf = opened(PAPER)
    assert bool(pdf.Root.MarkInfo.Marked)
    assert str(pdf.Root.Lang) == "en-GB"
    assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
    with pdf.open_metadata() as told:
        assert told["dc:title"] == "Completion record: Ines Dorval"
    assert said_of_itself(pdf) == {
        "pdfuaid:part": "1",
        "pdfaid:part": "3",
        "pdfaid:conformance": "A",
    }


def test_its_parts_are_read_in_order():
    found = tags(opened(PAPER))
    assert [one for one in found if one in ("H1", "H2", "Table", "Figure", "Link")] == [
        *("H1", "H2", "Table", "H2", "Figure", "Link")
    ]
    assert found.count("TH") == 2
    assert found.count("TR") == len(PLAIN.rows) + 1
    assert alternatives(opened(PAPER)) == [f"QR code. It opens {ADDRESS}"]


def test_every_typeface_is_embedded():
    assert loose_fonts(opened(PAPER)) == []


def test_a_checker_of_accessible_pdf_finds_nothing(tmp_path):
    file = tmp_path / "certificate.pdf"
    file.write_bytes(PAPER)
    assert list(pdfua.validate(str(file)).findings) == []


def test_the_code_on_the_drawn_page_opens_its_address():
    assert read_qr(PAPER) == [ADDRESS]
    assert ADDRESS in words_of(PAPER).replace(" ", "")


def test_the_record_inside_it_verifies():
    pdf = opened(PAPER)
    assert list(pdf.attachments) == ["record.json"]
    inside = pdf.attachments["record.json"].get_file().read_bytes()
    assert verify(inside, SIGNER.public, [as_bytes(signed_list(1))], NOW).valid
    (kept,) = pdf.Root.AF
    assert str(kept.AFRelationship) == "/Data"


def test_a_view_with_parts_left_out_carries_no_record_and_no_name():
    paper = draw(replace(PLAIN, name="", record=None))
    assert list(opened(paper).attachments) == []
    assert "Ines" not in words_of(paper)
    assert NO_NAME in words_of(paper)


def test_the_same_values_give_the_same_bytes():
    assert draw(PLAIN) == PAPER


MARKUP = [
    '#panic("x")',
    "*bold* _it_ $x$ `raw`",
    "= Heading",
    "<label> @ref",
    '\\ #import "x": *',
    "</text>&amp;{{7*7}}",
    "// gone /* gone */",
    "Ann\nBeth",
]


@pytest.mark.parametrize("name", MARKUP)
def test_a_name_is_never_markup(name):
    words = words_of(draw(replace(PLAIN, name=name, issuer=name, rows=[(name, name)])))
    assert words.count(" ".join(name.split())) >= 4


@pytest.mark.parametrize(
    "name", ["Łucja Ożóg", "Ελένη Κάλλου", "Ольга Ткач", "ليلى حداد", "नेहा राव", "O’Neill-Đỗ"]
)
def test_names_of_many_letters_are_printed(name):
    paper = draw(replace(PLAIN, name=name))
    assert UNPRINTABLE not in words_of(paper)
    assert loose_fonts(opened(paper)) == []


@pytest.mark.parametrize("name", ["李娜", "שרה", "Ann \U0001f469"])
def test_letters_that_no_typeface_has_are_left_out_whole(name):
    words = words_of(draw(replace(PLAIN, name=name, issuer=f"Salon {name}")))
    assert UNPRINTABLE in words
    assert "Salon ?" in words or "Salon Ann ?" in words


@pytest.mark.parametrize("length", [30, 60, 120, 200])
def test_a_long_name_stays_on_one_page(length):
    name = ("Maria-Fernanda " * 20)[:length].strip()
    paper = draw(replace(PLAIN, name=name, issuer=name, rows=[*PLAIN.rows, *PLAIN.rows]))
    assert len(opened(paper).pages) == 1
    assert read_qr(paper) == [ADDRESS]


def test_another_fault_of_the_template_is_not_hidden(monkeypatch):
    monkeypatch.setattr(drawn, "_template", lambda: b"#panic()")
    with pytest.raises(drawn.typst.TypstError):
        draw(PLAIN)


def test_a_date_without_its_zone_is_refused():
    with pytest.raises(ValueError, match="offset"):
        draw(replace(PLAIN, made=datetime(2026, 3, 2)))  # noqa: DTZ001
