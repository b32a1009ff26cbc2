"""The words of a line of strokes: a plate is read exactly, or the line is refused."""

from __future__ import annotations

from contextlib import suppress
from random import Random

import pytest

from crib.desk.strokes.log_words import read_lines, read_plate_words
from crib.desk.strokes.weigh import read_work_plate
from crib.errors import BadInput, BadPhrase, UnsureQuantity
from crib.trade.metal.materials import find_material
from crib.units import System
from tests.features.bench import INCH_RULES, METRIC_RULES, mm
from tests.features.written import any_size

RULES = {"in": INCH_RULES, "mm": METRIC_RULES}
TAGS = {"P-1", "3", "16", "1207"}


@pytest.mark.parametrize("plate", ["1 3 / 16", "1 3/ 16", "1 3⁄16", "1 3∕16", "1³⁄₁₆", "1-3/16"])
@pytest.mark.parametrize("behind", ["", "304", "with D-1", "P-1 60"])
def test_a_thickness_in_several_words_is_one_thickness(plate: str, behind: str) -> None:
    line = read_lines(f"P-1 400 thru {plate} {behind}".split(), INCH_RULES, TAGS)[0]
    assert line.work.thickness_mm == mm("1-3/16")
    assert line.work.material == find_material(behind if behind == "304" else "A36")


@pytest.mark.parametrize(
    "plate", ["1 3-16", "1 3 16", "0.5 3/16", "5/8 3/04", "5/8 3 04", "1. 304"]
)
def test_a_line_whose_thickness_is_in_doubt_is_refused(plate: str) -> None:
    for words in (f"P-1 400 thru {plate}", f"P-1 400 thru {plate} P-1 60"):
        with pytest.raises(BadInput):
            read_lines(words.split(), INCH_RULES, TAGS)
    with pytest.raises(BadInput):
        plate_said(plate)


def plate_said(text: str) -> None:
    """Read a plate as a report of a break does."""
    thickness, material, _rest = read_plate_words(text.split(), INCH_RULES)
    read_work_plate(INCH_RULES, thickness, material)


def test_a_tag_of_figures_begins_a_line_where_no_size_stands_open() -> None:
    for plate in ("3/8", "3/8 A36", "1 in", "10ga"):
        lines = read_lines(f"P-1 400 thru {plate} 1207 60".split(), INCH_RULES, TAGS)
        assert [(line.tag, line.count) for line in lines] == [("P-1", 400), ("1207", 60)]
    with pytest.raises(BadPhrase, match="'1207' may belong to the thickness 1"):
        read_lines("P-1 400 thru 1 1207 60".split(), INCH_RULES, TAGS)


@pytest.mark.parametrize("system", ["in", "mm"])
def test_every_spelling_of_a_thickness_is_read_exactly_or_refused(system: System) -> None:
    draw, read = Random(f"plates in {system}"), 0
    for _ in range(3_000):
        size, material = any_size(draw, system), draw.choice(("", "304", "316", "1020", "A36"))
        words = f"P-1 400 thru {size.text} {material}".split()
        lines = []
        with suppress(BadInput):
            lines = read_lines(words, RULES[system], TAGS)
        if lines and all(line.tag in TAGS for line in lines):
            (line,) = lines
            read += 1
            assert line.work.thickness_mm == size.mm, words
            assert line.work.material == RULES[system].material(
                material or RULES[system].text("material.default")
            )
    assert read > 700


def test_a_bare_thickness_that_nobody_can_mean_is_asked_back() -> None:
    for rules, plate, first in ((INCH_RULES, "3", "3mm"), (METRIC_RULES, ".375", ".375in")):
        with pytest.raises(UnsureQuantity, match="has no unit") as caught:
            read_lines(f"P-1 400 thru {plate}".split(), rules, TAGS)
        assert caught.value.readings[0] == first
    assert read_lines("P-1 400 thru 3in".split(), INCH_RULES, TAGS)[0].work.thickness_mm == 76.2
