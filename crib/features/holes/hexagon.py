"""A hexagonal hole by its size across flats: ``hexagon 5/8 thru 10ga``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading, read_plate
from crib.features.holes.punched import Punched, punched_kind
from crib.trade.metal.shapes import Outline

EXAMPLE = "hexagon 5/8 thru 10ga"


@dataclass(frozen=True)
class Hexagon(Punched):
    """A hexagonal hole."""

    feature: ClassVar[str] = "hexagon"


def read(words: Words, reading: Reading) -> Hexagon:
    """Read ``ACROSS-FLATS thru THICKNESS [MATERIAL]``."""
    flats_mm = words.take_length_mm(reading.system, "the size across flats", EXAMPLE)
    plate = read_plate(words, reading, EXAMPLE)
    return Hexagon(Outline("hexagon", flats_mm, flats_mm), plate)


FEATURE = punched_kind(
    "hexagon", EXAMPLE, read, "a hexagonal hole by its size across flats", ("hex",), shape="hexagon"
)
