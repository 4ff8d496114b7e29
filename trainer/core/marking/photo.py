"""A photo of work at the chair, made anew: nothing stays in it but the picture."""

from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageOps

from trainer.core.problems import InputProblem

LARGEST_FILE = 10 * 1024 * 1024
LARGEST_PIXELS = 50_000_000
"""Of a JPEG, which is unpacked small; half as many of the other kinds, which are unpacked whole."""
LONGEST_SIDE = 1600
QUALITY = 82
KINDS = ("JPEG", "PNG", "WEBP")
WHERE = "photos"
WHITE = (255, 255, 255)


@dataclass(frozen=True, slots=True)
class Photo:
    """A JPEG file, and its sides in pixels."""

    content: bytes
    width: int
    height: int


def clean(content: bytes) -> Photo:
    """Make a sent picture anew.

    Parameters
    ----------
    content : A JPEG, PNG or WebP file of at most 10 MB; a JPEG of at most 50 million pixels, the
        others of at most 25 million.

    Returns
    -------
    The same picture upright as a JPEG of at most 1600 pixels a side, without place, time, device
    or any other metadata.

    Raises
    ------
    InputProblem : If it is too large, of another kind, damaged, or would unpack to too much.
    """
    if len(content) > LARGEST_FILE:
        raise InputProblem("The photo is larger than 10 MB", WHERE, "Send a smaller one.")
    try:
        return _made_anew(content)
    except InputProblem:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many() from None
    except Exception:  # a decoder may fail on a made-up file in any way it likes
        raise InputProblem(
            "The photo cannot be read", WHERE, "Send a JPEG, PNG or WebP picture."
        ) from None


def _made_anew(content: bytes) -> Photo:
    with Image.open(BytesIO(content), formats=KINDS) as sent:
        width, height = sent.size  # known from its head, before anything is unpacked
        if width * height > LARGEST_PIXELS // (1 if sent.format == "JPEG" else 2):
            raise _too_many()
        sent.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
        upright = ImageOps.exif_transpose(sent)
        upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
        plain = Image.new("RGB", upright.size, WHITE)
        shown = upright.convert("RGBA")
        plain.paste(shown, mask=shown.getchannel("A"))
    out = BytesIO()
    plain.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Photo(out.getvalue(), *plain.size)


def _too_many() -> InputProblem:
    return InputProblem("The photo has too many pixels", WHERE, "Send a smaller one.")
