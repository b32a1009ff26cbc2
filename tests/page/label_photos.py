"""Photos of our own labels as a phone takes them: turned, skewed, blurred, dim, noisy."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from random import Random

from PIL import Image, ImageDraw, ImageEnhance, ImageFilter, ImageOps

from crib.files.paper.label_marks import QUIET, code_matrix

MODULE = 12
SIDE = 1200


@dataclass(frozen=True)
class Shot:
    """How a photo is taken: degrees, share of skew, blur [points], light and grain (shares)."""

    turned: float = 0.0
    skewed: float = 0.0
    blurred: float = 0.0
    light: float = 1.0
    grain: float = 0.0
    size: float = 0.5
    """Of the photo's side that the label takes."""


def label(text: str) -> Image.Image:
    """A label: its code, and its tag in letters beside it."""
    matrix = code_matrix(text)
    side = (len(matrix) + 2 * QUIET) * MODULE
    made = Image.new("L", (2 * side, side), 250)
    pen = ImageDraw.Draw(made)
    for row, modules in enumerate(matrix):
        for column, black in enumerate(modules):
            if black:
                left, top = (QUIET + column) * MODULE, (QUIET + row) * MODULE
                pen.rectangle((left, top, left + MODULE - 1, top + MODULE - 1), fill=20)
    pen.text((side, side // 3), text[-12:], fill=20, font_size=side // 8)
    return made


def photo_of(text: str, shot: Shot, seed: int = 1, file_format: str = "JPEG") -> bytes:
    """A label on a worn bench, as the shot has it."""
    random = Random(seed)
    bench = _bench(random)
    sticker = label(text)
    sticker.thumbnail((int(SIDE * shot.size), SIDE))
    whole = sticker.convert("LA")
    whole = whole.rotate(shot.turned, expand=True, resample=Image.Resampling.BICUBIC)
    place = ((SIDE - whole.width) // 2, (SIDE - whole.height) // 2)
    bench.paste(whole.convert("L"), place, whole.getchannel("A"))
    taken = _skewed(bench, shot.skewed, random)
    taken = taken.filter(ImageFilter.GaussianBlur(shot.blurred))
    taken = ImageEnhance.Brightness(taken).enhance(shot.light)
    if shot.grain:
        taken = Image.blend(taken, Image.effect_noise(taken.size, 90), shot.grain)
    held = BytesIO()
    taken.convert("RGB").save(held, file_format, quality=80)
    return held.getvalue()


def upside_down(photo: bytes) -> bytes:
    """The same photo stored mirrored, with the mark that says so."""
    image = Image.open(BytesIO(photo))
    marks = Image.Exif()
    marks[0x0112] = 4
    held = BytesIO()
    ImageOps.flip(image).save(held, "JPEG", exif=marks)
    return held.getvalue()


def _bench(random: Random) -> Image.Image:
    made = Image.new("L", (SIDE, SIDE), 110)
    pen = ImageDraw.Draw(made)
    for _scratch in range(60):
        ends = [random.randrange(SIDE) for _end in range(4)]
        pen.line(ends, fill=random.randrange(60, 190), width=random.randrange(1, 6))
    return made


def _skewed(image: Image.Image, share: float, random: Random) -> Image.Image:
    """As seen from aside: each corner moves inwards by up to a share of the side."""
    if not share:
        return image
    far = share * SIDE
    left, right, up, low = (far * random.random() for _side in range(4))
    corners = (left, up, 0, SIDE - low, SIDE - right, SIDE, SIDE, 0)
    return image.transform(
        image.size, Image.Transform.QUAD, corners, resample=Image.Resampling.BICUBIC
    )
