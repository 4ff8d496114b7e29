"""A photo comes out upright, small and bare; what is no picture, or too much of one, is refused."""

import struct
import zlib
from contextlib import suppress
from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ExifTags, Image

from trainer.core.marking.photo import LARGEST_FILE, LONGEST_SIDE, clean
from trainer.core.problems import InputProblem

RED, BLUE = (220, 20, 20), (20, 20, 220)


def a_picture(size=(60, 40), kind="JPEG", orientation=None, mode="RGB", **more):
    """Left half red, right half blue."""
    image = Image.new("RGB", size, RED)
    image.paste(BLUE, (size[0] // 2, 0, size[0], size[1]))
    exif = image.getexif()
    exif[ExifTags.Base.Make] = "A phone"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (51.0, 30.0, 0.0)
    if orientation:
        exif[ExifTags.Base.Orientation] = orientation
    out = BytesIO()
    image.convert(mode).save(out, kind, exif=exif, **more)
    return out.getvalue()


def opened(photo):
    return Image.open(BytesIO(photo.content))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_place_device_and_everything_else_are_gone(kind):
    sent = a_picture(kind=kind)
    assert dict(Image.open(BytesIO(sent)).getexif())
    photo = clean(sent)
    shown = opened(photo)
    assert shown.format == "JPEG" and dict(shown.getexif()) == {}
    assert set(shown.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"A phone" not in photo.content and b"Exif" not in photo.content


def test_a_picture_taken_sideways_is_turned_upright():
    """EXIF 2.3, orientation 6: the camera's left is up; upright, red is on top."""
    shown = opened(clean(a_picture(orientation=6)))
    assert shown.size == (40, 60)
    top, bottom = shown.getpixel((20, 5)), shown.getpixel((20, 55))
    assert top[0] > top[2] and bottom[2] > bottom[0]


def test_a_large_picture_is_made_small_and_keeps_its_shape():
    photo = clean(a_picture((4000, 3000)))
    assert (photo.width, photo.height) == (LONGEST_SIDE, 1200) == opened(photo).size
    small = clean(a_picture((30, 20)))
    assert (small.width, small.height) == (30, 20)


@pytest.mark.parametrize(
    ("mode", "kind"), [("L", "PNG"), ("P", "PNG"), ("RGBA", "PNG"), ("CMYK", "JPEG")]
)
def test_every_kind_of_colour_is_taken(mode, kind):
    assert opened(clean(a_picture(mode=mode, kind=kind))).mode == "RGB"


def a_png_of(width, height):
    """A head that promises a size, and no pixels."""

    def chunk(name, data):
        body = name + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b""))


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"x" * (LARGEST_FILE + 1), "larger than 10 MB"),
        (a_png_of(60_000, 60_000), "too many pixels"),
        (a_png_of(12_000, 9_000), "too many pixels"),
        (a_png_of(6_000, 5_000), "too many pixels"),
        (a_png_of(10, 10), "cannot be read"),
        (b"", "cannot be read"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "cannot be read"),
        (b"GIF89a" + bytes(20), "cannot be read"),
        (a_picture()[:200], "cannot be read"),
    ],
)
def test_what_cannot_be_shown_is_refused_with_words(content, said):
    with pytest.raises(InputProblem, match=said) as caught:
        clean(content)
    assert caught.value.where == "photos" and caught.value.remedy


def test_a_gif_is_not_taken_even_when_it_is_whole():
    with pytest.raises(InputProblem, match="cannot be read"):
        out = BytesIO()
        Image.new("P", (5, 5)).save(out, "GIF")
        clean(out.getvalue())


GOOD = a_picture()


@given(st.integers(0, len(GOOD) - 1), st.integers(0, 255))
def test_no_damaged_byte_does_more_than_be_refused(place, value):
    damaged = bytearray(GOOD)
    damaged[place] = value
    with suppress(InputProblem):
        assert max(opened(clean(bytes(damaged))).size) <= LONGEST_SIDE
