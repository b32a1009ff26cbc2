"""A round hole by its diameter: ``hole 13/16 thru 3/8 A36``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading, read_plate
from crib.features.holes.punched import Punched, punched_kind
from crib.trade.metal.shapes import Outline

EXAMPLE = "hole 13/16 thru 3/8 A36"


@dataclass(frozen=True)
class Hole(Punched):
    """A round hole."""

    feature: ClassVar[str] = "hole"


def read(words: Words, reading: Reading) -> Hole:
    """Read ``DIAMETER thru THICKNESS [MATERIAL]``."""
    diameter_mm = words.take_length_mm(reading.system, "the hole's diameter", EXAMPLE)
    plate = read_plate(words, reading, EXAMPLE)
    return Hole(Outline("round", diameter_mm, diameter_mm), plate)


FEATURE = punched_kind(
    "hole", EXAMPLE, read, "a round hole by its diameter", also=("round", "tapped"), shape="round"
)
