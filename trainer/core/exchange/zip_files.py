"""Texts as one zip file, and what reading somebody else's can end with."""

import zlib
from collections.abc import Mapping
from io import BytesIO
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile, ZipInfo

FIRST_DAY = (1980, 1, 1, 0, 0, 0)
"""The earliest moment that a zip can hold; of every file, so that no clock is read."""
UNREADABLE = (BadZipFile, zlib.error, OSError, EOFError, ValueError, RuntimeError)
"""What comes of reading a zip with some bytes changed, as far down as its unpacking."""


def zipped(files: Mapping[str, str]) -> bytes:
    """Put texts into a zip, in UTF-8.

    Parameters
    ----------
    files : Path within the zip -> text, in the order in which they are to stand.

    Returns
    -------
    The zip; the same texts in the same order give the same bytes.
    """
    whole = BytesIO()
    with ZipFile(whole, "w", ZIP_DEFLATED) as archive:
        for name, text in files.items():
            info = ZipInfo(name, FIRST_DAY)
            info.compress_type = ZIP_DEFLATED
            archive.writestr(info, text)
    return whole.getvalue()
