"""Looks into a certificate with other people's tools."""

from io import BytesIO

import pikepdf
import pypdfium2
import zxingcpp
from pikepdf import Dictionary, Name

FEEDS_FONT = ("/FontFile", "/FontFile2", "/FontFile3")


def read_qr(text: bytes) -> list[str]:
    """What the codes say on the first page as drawn."""
    drawn = pypdfium2.PdfDocument(text)[0].render(scale=2).to_pil()
    return [found.text for found in zxingcpp.read_barcodes(drawn)]


def words_of(text: bytes) -> str:
    """The text of all pages, line ends as spaces."""
    document = pypdfium2.PdfDocument(text)
    told = (page.get_textpage().get_text_range() for page in document)
    return " ".join(" ".join(told).split())


def opened(text: bytes) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(text))


def tags(pdf: pikepdf.Pdf) -> list[str]:
    """The kind of every structure element, in reading order."""
    found, waiting = [], [pdf.Root.StructTreeRoot]
    while waiting:
        node = waiting.pop()
        if "/S" in node:
            found.append(str(node.S).removeprefix("/"))
        inside = node.get("/K", [])
        inside = inside if isinstance(inside, pikepdf.Array) else [inside]
        waiting.extend(reversed([one for one in inside if isinstance(one, Dictionary)]))
    return found


def alternatives(pdf: pikepdf.Pdf) -> list[str]:
    """The text alternatives of figures."""
    return [str(one.Alt) for one in pdf.objects if isinstance(one, Dictionary) and "/Alt" in one]


def loose_fonts(pdf: pikepdf.Pdf) -> list[str]:
    """Fonts that are described but not embedded."""
    described = [
        one
        for one in pdf.objects
        if isinstance(one, Dictionary) and one.get("/Type") == Name.FontDescriptor
    ]
    assert described
    return [str(one.FontName) for one in described if not any(f in one for f in FEEDS_FONT)]


def said_of_itself(pdf: pikepdf.Pdf) -> dict[str, str]:
    """The standards that its metadata claims."""
    with pdf.open_metadata() as told:
        return {
            name: str(told.get(name))
            for name in ("pdfuaid:part", "pdfaid:part", "pdfaid:conformance")
        }
