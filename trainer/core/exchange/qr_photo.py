"""The text of a QR code in a photo (ISO/IEC 18004), read by the zxing-cpp library."""

from io import BytesIO

from PIL import Image

from trainer.core.marking.photo import clean
from trainer.core.problems import InputProblem

LONGEST = 10_000  # characters; a QR code holds 4,296 at most


def read_qr(content: bytes) -> str:
    """Read the QR code of a photo.

    Parameters
    ----------
    content : A JPEG, PNG or WebP picture, as `core.marking.photo.clean` takes it.

    Returns
    -------
    What the code says.

    Raises
    ------
    InputProblem : If it is no such picture, or holds no code or more than one.
    """
    import zxingcpp  # only when a photo is read: it speaks up at the end of every program else

    only = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
    with Image.open(BytesIO(clean(content).content)) as picture:
        found = zxingcpp.read_barcodes(picture.convert("L"), only)
    said = {one.text for one in found if one.valid}
    if len(said) != 1:
        what = "No QR code can be read in the photo" if not said else "There are several QR codes"
        raise InputProblem(what, "photo", "Take it straight from above, with one code in it.")
    return said.pop()[:LONGEST]
