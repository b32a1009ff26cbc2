"""A slot with round ends, one hit: ``slot 13/16 x 2 thru 3/8``, width by overall length."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading, read_plate, read_two_sizes
from crib.features.holes.punched import Punched, punched_kind
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.shapes import Outline

EXAMPLE = "slot 13/16 x 2 thru 3/8"


@dataclass(frozen=True)
class Slot(Punched):
    """An obround hole; the length is overall, not between centres."""

    feature: ClassVar[str] = "slot"


def read(words: Words, reading: Reading) -> Slot:
    """Read ``WIDTH x OVERALL-LENGTH thru THICKNESS [MATERIAL]``.

    Raises:
        BadPhrase: also when both sizes are equal, which is a round hole.
    """
    width_mm, long_mm = read_two_sizes(
        words, reading, "the slot's width and overall length", EXAMPLE
    )
    if not exceeds(long_mm, width_mm):
        message = "a slot as long as it is wide is a round hole"
        raise words.wrong(0, len(words.text), message, "hole 13/16 thru 3/8")
    plate = read_plate(words, reading, EXAMPLE)
    return Slot(Outline("obround", width_mm, long_mm), plate)


FEATURE = punched_kind(
    "slot", EXAMPLE, read, "a slot: width x overall length", ("obround", "oval"), shape="obround"
)
