"""Reading a plate and the sizes before it, as a crib writes them: ``thru 3/8 A36``."""

from __future__ import annotations

from dataclasses import dataclass

from crib import units
from crib.errors import BadInput
from crib.features.common.case import Plate
from crib.features.common.phrase import TAIL_WORDS, Words
from crib.trade.metal.gauges import gauge_thickness_mm
from crib.trade.shop.shop_rules import Rules
from crib.units import System


@dataclass(frozen=True, slots=True)
class Reading:
    """The crib's own way of reading: its unit and its rules."""

    rules: Rules

    @property
    def system(self) -> System:
        """The unit of a bare number."""
        return self.rules.system


def read_plate(words: Words, reading: Reading, example: str) -> Plate:
    """Read ``thru THICKNESS [MATERIAL]``.

    Raises:
        BadPhrase: for a thickness or a material that cannot be read.
    """
    words.expect("thru", example)
    gauges: list[int] = []

    def read(text: str) -> float:
        gauge = units.read_gauge(text)
        if gauge is not None:
            gauges.append(gauge)
            return 0.0
        return units.read_length_mm(text, reading.system)

    begins = words.place()[0]
    thickness_mm = words.take_quantity(read, "a thickness", example)
    ends = words.taken_to
    name, start, end = words.take_until(*TAIL_WORDS)
    try:
        material = reading.rules.material(name or reading.rules.text("material.default"))
        if gauges:
            start, end = begins, ends
            thickness_mm = gauge_thickness_mm(gauges[0], material.gauge_system)
    except BadInput as error:
        raise words.wrong(start, end, error.message, error.way_out or example) from error
    return Plate(thickness_mm, material, not name, gauges[0] if gauges else None)


def read_two_sizes(words: Words, reading: Reading, what: str, example: str) -> tuple[float, float]:
    """Read ``SIZE x SIZE`` and give the smaller first [mm].

    Raises:
        BadPhrase: for sizes that cannot be read.
    """
    first_mm = words.take_length_mm(reading.system, what, example)
    words.expect("x", example)
    second_mm = words.take_length_mm(reading.system, what, example)
    return min(first_mm, second_mm), max(first_mm, second_mm)
