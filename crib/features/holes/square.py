"""A square hole by its side: ``square 1/2 thru 1/4``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading, read_plate
from crib.features.holes.punched import Punched, punched_kind
from crib.trade.metal.shapes import Outline

EXAMPLE = "square 1/2 thru 1/4"


@dataclass(frozen=True)
class Square(Punched):
    """A square hole."""

    feature: ClassVar[str] = "square"


def read(words: Words, reading: Reading) -> Square:
    """Read ``SIDE thru THICKNESS [MATERIAL]``."""
    side_mm = words.take_length_mm(reading.system, "the square's side", EXAMPLE)
    plate = read_plate(words, reading, EXAMPLE)
    return Square(Outline("square", side_mm, side_mm), plate)


FEATURE = punched_kind("square", EXAMPLE, read, "a square hole by its side", shape="square")
