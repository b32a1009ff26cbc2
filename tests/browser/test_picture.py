"""The README's picture of the page: kept beside this, and still what the page looks like.

``CRIB_PICTURE=make`` makes it anew.
"""

from __future__ import annotations

import os
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageChops, ImageStat
from playwright.sync_api import Browser, ViewportSize

from tests.browser.serving import served
from tests.demo_crib import demo_crib

PICTURE = Path(__file__).parent / "page.png"
PHONE = ViewportSize(width=390, height=844)
PLACES = ("/", "/tool/answer?phrase=hole+2+thru+3/8+A36")
DRAWN = (
    "Promise.all([...document.images].map((one) => (one.loading = 'eager', one.decode())))"
    ".then(() => 0)"
)
BETWEEN_PX = 24
COLOURS = 64
COARSE = (40, 40)
MOST_UNLIKE = 10
"""Of 255, on the mean of a coarse copy: another font moves less, another page more."""


def side_by_side(browser: Browser, address: str) -> Image.Image:
    """The front page and an answer, as a phone shows them."""
    made = Image.new("RGB", (2 * PHONE["width"] + BETWEEN_PX, PHONE["height"]), "#808080")
    context = browser.new_context(viewport=PHONE, locale="en", color_scheme="light")
    page = context.new_page()
    for number, place in enumerate(PLACES):
        page.goto(f"{address}{place}")
        page.evaluate(DRAWN)
        shown = Image.open(BytesIO(page.screenshot()))
        made.paste(shown, (number * (PHONE["width"] + BETWEEN_PX), 0))
    context.close()
    return made


def unlike(one: Image.Image, other: Image.Image) -> float:
    """How far two pictures are from each other, coarsely."""
    coarse = [image.convert("L").resize(COARSE) for image in (one, other)]
    return ImageStat.Stat(ImageChops.difference(*coarse)).mean[0]


def test_the_kept_picture_is_what_the_page_looks_like(browser: Browser, tmp_path: Path) -> None:
    crib = tmp_path / "demo.crib"
    demo_crib(crib).close()
    with served(crib) as address:
        made = side_by_side(browser, address)
    if os.environ.get("CRIB_PICTURE") == "make":
        made.quantize(COLOURS).save(PICTURE, optimize=True)
    kept = Image.open(PICTURE)
    assert kept.size == made.size
    assert unlike(kept, made) < MOST_UNLIKE
    blank = Image.new("RGB", made.size, made.getpixel((5, made.height // 2)))
    assert unlike(kept, blank) > MOST_UNLIKE
