"""The codes in a photo of a label. It is decoded here, never kept, and never fetched from anywhere.

A photo may be rotated, skewed, blurred or dim: it is looked at in a few ways until a code is read.
What is read was corrected by the code's own standard (ISO/IEC 18004); a doubtful one is not given.
"""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_PIXELS = 60_000_000
"""More than a phone's camera gives; a picture that says it is larger is not opened."""
FORMATS = ("JPEG", "PNG", "WEBP", "GIF", "BMP")
TOO_LARGE, UNREADABLE = "scan.photo.too-large", "scan.photo.no-photo"
SIDE = 2400
"""A label that fills a fifth of a photo of this side has some six points for each module."""


class NotAPhoto(Exception):
    """What was sent is no photo that is read; ``text`` is the key of what is told."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


def codes_in(photo: bytes) -> tuple[str, ...]:
    """What the codes in a photo say, each once.

    Raises:
        NotAPhoto: for what is none, or one larger than a camera's.
    """
    from zxingcpp import BarcodeFormat, BarcodeFormats, read_barcodes

    only = BarcodeFormats([BarcodeFormat.QRCode])
    for view in _views(_opened(photo)):
        found = read_barcodes(view, formats=only)
        texts = [one.text for one in found if one.valid and one.text]
        if texts:
            return tuple(dict.fromkeys(texts))
    return ()


def _opened(photo: bytes) -> Image:
    """A photo in greys, the right way round and no larger than need be."""
    from PIL import Image, ImageOps

    try:
        image: Image.Image = Image.open(BytesIO(photo), formats=FORMATS)
        _require_bounded(image)
        image.draft("L", (SIDE, SIDE))
        image = ImageOps.exif_transpose(image)
        image.thumbnail((SIDE, SIDE))
        return image.convert("L")
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise NotAPhoto(TOO_LARGE) from None
    except (OSError, SyntaxError, ValueError, EOFError, MemoryError):
        raise NotAPhoto(UNREADABLE) from None


def _require_bounded(image: Image) -> None:
    if image.width * image.height > MOST_PIXELS:
        raise NotAPhoto(TOO_LARGE)


def _views(image: Image) -> Iterator[Image]:
    """The photo as it is, its greys spread, its grain calmed; smaller, sharpened, larger."""
    from PIL import ImageFilter, ImageOps

    yield image
    spread = ImageOps.autocontrast(image, cutoff=2)
    yield spread
    calm = ImageOps.autocontrast(image.filter(ImageFilter.GaussianBlur(2)), cutoff=2)
    yield calm
    half = ImageOps.scale(calm, 0.5)
    yield half
    for radius in (2, 4):
        yield half.filter(ImageFilter.UnsharpMask(radius, percent=400, threshold=0))
    yield spread.filter(ImageFilter.UnsharpMask(4, percent=300, threshold=0))
    if max(image.size) <= SIDE // 2:
        yield ImageOps.scale(calm, 2.0)
