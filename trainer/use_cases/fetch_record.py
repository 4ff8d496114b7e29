"""Come by a record's file from what people hold: its text, a link to it, a QR code in a photo."""

from trainer.core.exchange.outside_address import onward
from trainer.core.exchange.qr_photo import read_qr
from trainer.core.exchange.record_link import record_file_of
from trainer.use_cases.fetch_outside import Door
from trainer.use_cases.refusals import InputProblem

OPENING = b"{"
BARE = b"\xef\xbb\xbf \t\r\n"


def from_text(text: bytes, door: Door) -> bytes:
    """The record that a text is, or that its link leads to. Raises InputProblem."""
    plain = text.lstrip(BARE)
    if plain.startswith(OPENING):
        return text
    try:
        link = plain.decode("utf-8").strip()
    except UnicodeDecodeError:
        raise InputProblem(
            "It is neither a record nor a link", "record", "Give its file."
        ) from None
    if not link:
        raise InputProblem("There is no record in it", "record", "Give its file, text or link.")
    return _from_link(link, door)


def from_photo(content: bytes, door: Door) -> bytes:
    """The record that the QR code in a photo says, or leads to. Raises InputProblem."""
    return from_text(read_qr(content).encode("utf-8", "replace"), door)


def _from_link(link: str, door: Door) -> bytes:
    """The file at a link, or the one that the page there names as the same record."""
    found = door.fetch(link)
    if found.content.lstrip(BARE).startswith(OPENING):
        return found.content
    named = record_file_of(found.content)
    if not named:
        remedy = "Ask the holder for the record's file, or for a link that shows all of it."
        raise InputProblem("The page there names no record file", "link", remedy)
    return door.fetch(onward(found.address, named, door.ports).url).content
