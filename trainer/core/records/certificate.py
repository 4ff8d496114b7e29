"""The certificate: one tagged page with a QR, and the signed record inside the file.

PDF/UA-1 and PDF/A-3a, both checked by typst while it compiles. What it says goes in as data, so a
name can never become markup.
"""

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from importlib.resources import files
from io import BytesIO
from typing import Any

import segno
import typst

from trainer.core.records.record import CAUTION

FONTS = ("fontpkg_atkinson_hyperlegible", "fontpkg_noto_sans", "fontpkg_noto_sans_arabic")
NO_NAME = "The holder of this record"
UNPRINTABLE = "Name as on the record's page"
MISSING = re.compile(r'the text `"(.+?)"` could not be displayed')
INK = "#2a211e"
WORDS = {
    "told": "What the record says",
    "what": "What",
    "said": "As recorded",
    "check": "Check it",
    "how": "Scan the code, or open this address. It says whether the record still holds today:",
    "attached": "The signed completion record, to be checked without a network.",
}


@dataclass(frozen=True)
class Certificate:
    """What one certificate says. `rows` are pairs of what and how it is recorded.

    `name` is '' where the holder hides it. `address` is opened by the QR. `record` is the signed
    record's text, None where the view leaves out a part of it. `made` fixes the file's dates.
    """

    name: str
    issuer: str
    attests: str
    rows: Sequence[tuple[str, str]]
    address: str
    made: datetime
    record: str | None = None


def draw(certificate: Certificate) -> bytes:
    """Draw a certificate.

    Parameters
    ----------
    certificate : What it says.

    Returns
    -------
    A PDF of one page. The same values give the same bytes.

    Raises
    ------
    ValueError : If `made` has no offset.
    """
    if certificate.made.tzinfo is None:
        raise ValueError(f"{certificate.made=} has no offset")
    data = _data(certificate)
    try:
        return _compiled(data, certificate.made)
    except typst.TypstError as problem:
        missing = set(MISSING.findall(problem.diagnostic))
        if not missing:
            raise
        return _compiled(_printable(data, missing), certificate.made)


def _compiled(data: dict[str, Any], made: datetime) -> bytes:
    found = typst.compile(
        _template(),
        format="pdf",
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data)},
        pdf_standards=["ua-1", "a-3a"],
        timestamp=made.astimezone(UTC).replace(microsecond=0),
    )
    if not isinstance(found, bytes):
        raise TypeError(f"typst gave {type(found)}")
    return found


def _printable(data: dict[str, Any], missing: set[str]) -> dict[str, Any]:
    """Without letters that no embedded typeface has: a broken name is worse than none."""
    has = {letter for text in missing for letter in text}

    def plain(text: str) -> str:
        return "".join("?" if letter in has else letter for letter in text)

    name = UNPRINTABLE if has & set(data["name"]) else data["name"]
    rows = [[plain(part) for part in row] for row in data["rows"]]
    changed = {part: plain(data[part]) for part in ("issuer", "attests")}
    return {**data, **changed, "name": name, "rows": rows}


def _data(certificate: Certificate) -> dict[str, Any]:
    name = certificate.name or NO_NAME
    told = {
        "title": f"Completion record: {name}",
        "about": certificate.attests,
        "heading": "Completion record",
        "name": name,
        "issuer": certificate.issuer,
        "attests": certificate.attests,
        "rows": [list(row) for row in certificate.rows],
        "qr": _qr(certificate.address),
        "qr_says": f"QR code. It opens {certificate.address}",
        "address": certificate.address,
        "caution": CAUTION,
        "file_name": "record.json",
        "words": WORDS,
    }
    return told if certificate.record is None else {**told, "record": certificate.record}


def _qr(address: str) -> str:
    """The address as a QR in SVG, with the quiet zone that readers need."""
    out = BytesIO()
    segno.make(address, error="m", micro=False).save(out, kind="svg", border=4, dark=INK)
    return out.getvalue().decode()


@lru_cache(maxsize=1)
def _template() -> bytes:
    return files("trainer.core.records").joinpath("certificate.typ").read_bytes()


@lru_cache(maxsize=1)
def _fonts() -> typst.Fonts:
    """The embedded typefaces, read once a process; none of the system's."""
    folders = [str(files(name).joinpath("files")) for name in FONTS]
    return typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=folders,
    )
