"""A rectangular hole by its two sides: ``rectangle 1 x 1/2 thru 1/4``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading, read_plate, read_two_sizes
from crib.features.holes.punched import Punched, punched_kind
from crib.features.holes.square import Square
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.shapes import Outline

EXAMPLE = "rectangle 1 x 1/2 thru 1/4"


@dataclass(frozen=True)
class Rectangle(Punched):
    """A rectangular hole; which side is named first does not matter."""

    feature: ClassVar[str] = "rectangle"


def read(words: Words, reading: Reading) -> Punched:
    """Read ``SIDE x SIDE thru THICKNESS [MATERIAL]``; two equal sides make a square."""
    short_mm, long_mm = read_two_sizes(words, reading, "the rectangle's sides", EXAMPLE)
    plate = read_plate(words, reading, EXAMPLE)
    if not exceeds(long_mm, short_mm):
        return Square(Outline("square", short_mm, short_mm), plate)
    return Rectangle(Outline("rectangle", short_mm, long_mm), plate)


FEATURE = punched_kind(
    "rectangle", EXAMPLE, read, "a rectangular hole by its sides", ("rect",), shape="rectangle"
)
