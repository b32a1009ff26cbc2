"""The hole for a bolt, by standard and type: ``bolt 3/4 thru 1/2 A572-50``, ``bolt M20 oversize``.

``per`` names the standard with its edition: ``bolt 1 per AISC 360-22 thru 1/2``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar

from crib import units
from crib.errors import AskBack, BadInput
from crib.features.common.case import Case, Plate
from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading, read_plate
from crib.features.holes.punched import Punched, punched_kind
from crib.trade.common.published_tables import known_name
from crib.trade.metal.bolt_holes import BoltHole, HoleType, bolt_hole, known_standards
from crib.trade.metal.hole_tolerances import HoleTolerance, hole_tolerance
from crib.trade.metal.shapes import Outline
from crib.units import System

if TYPE_CHECKING:
    from crib.features.holes.distance_checks import DistanceCase

EXAMPLE = "bolt 3/4 thru 1/2 A572-50"
_METRIC = re.compile(r"m[- ]?\d+(\.\d+)?$")
_TYPES: dict[str, HoleType] = {
    "standard": "standard",
    "normal": "standard",
    "medium": "standard",
    "oversize": "oversize",
    "oversized": "oversize",
    "short": "short_slot",
    "long": "long_slot",
    "fine": "fine",
    "coarse": "coarse",
    "std": "standard",
    "ovs": "oversize",
    "ssl": "short_slot",
    "lsl": "long_slot",
}


@dataclass(frozen=True)
class Bolt(Punched):
    """The hole that a standard gives for a bolt; a slot for the slotted types."""

    hole: BoltHole

    feature: ClassVar[str] = "bolt"

    @property
    def bolt_mm(self) -> float | None:
        """The bolt's diameter."""
        text = self.hole.bolt
        if text.upper().startswith("M"):
            return float(text[1:])
        return units.read_length_mm(text, "in")

    @property
    def standard_tolerance(self) -> HoleTolerance | None:
        """What the bolt's standard lets the hole be off."""
        hole = self.hole
        return hole_tolerance(hole.standard, hole.width_mm, hole.hole_type)

    def placed(self, case: Case) -> DistanceCase:
        """The hole with the bolt that a code counts from."""
        return replace(super().placed(case), bolt=self.hole.bolt, hole_type=self.hole.hole_type)

    def sizes_phrase(self, system: System) -> str:
        """The bolt, its hole type and the standard."""
        words = self.hole.hole_type.replace("_", " ")
        kind = "" if words == "standard" else f" {words}"
        standard = self.hole.standard.split(" (")[0]
        return f"{self.hole.bolt}{kind} per {standard}"

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, with the bolt and the standard that gave the hole."""
        return super().as_json() | {
            "bolt": self.hole.bolt,
            "hole_type": self.hole.hole_type,
            "standard": self.hole.standard,
            "hole_source": self.hole.source,
        }


def read(words: Words, reading: Reading) -> Bolt:
    """Read ``BOLT [TYPE] [per STANDARD] thru THICKNESS [MATERIAL]``.

    Raises:
        BadPhrase: for a bolt that the standard does not have.
        AskBack: for a bolt whose hole depends on the edition, when none is named.
    """
    bolt, start, end = words.take_until(*_TYPES, "per", "thru", "at", "for")
    if not bolt:
        raise words.wrong(start, end, "expected a bolt size", EXAMPLE)
    hole_type: HoleType = "standard"
    if words.peek() in _TYPES:
        hole_type = _TYPES[words.take().plain]
        words.take_if("slot", "hole")
    standard = _standard(words, reading, bolt)
    hole = _hole(words, bolt, hole_type, standard, (start, end))
    plate = read_plate(words, reading, EXAMPLE)
    return _bolt(hole, plate)


def _standard(words: Words, reading: Reading, bolt: str) -> str:
    """The standard that ``per`` names, or the crib's own."""
    if not words.take_if("per"):
        metric = _METRIC.match(bolt.casefold()) is not None
        return reading.rules.text("bolt.standard_metric" if metric else "bolt.standard_inch")
    name, start, end = words.take_until("thru", "at", "for")
    known = known_standards()
    if known_name(name, known) is None:
        found = f"found {name!r}" if name else "found none"
        message = f"expected a bolt standard after 'per', {found}; known: {', '.join(known)}"
        raise words.wrong(start, end, message, "bolt 1 per AISC 360-22 thru 1/2")
    return name


def _hole(
    words: Words, bolt: str, hole_type: HoleType, standard: str, place: tuple[int, int]
) -> BoltHole:
    try:
        return bolt_hole(bolt, hole_type, standard)
    except AskBack as error:
        example = f"bolt {bolt} per AISC 360-22 thru 1/2"
        way_out = f"name the edition: `{example}`"
        raise AskBack(error.message, choose=error.choose, way_out=way_out) from error
    except BadInput as error:
        raise words.wrong(*place, error.message, EXAMPLE, way_out=error.way_out) from error


def _bolt(hole: BoltHole, plate: Plate) -> Bolt:
    if hole.length_mm is None:
        return Bolt(Outline("round", hole.width_mm, hole.width_mm), plate, hole)
    return Bolt(Outline("obround", hole.width_mm, hole.length_mm), plate, hole)


FEATURE = punched_kind(
    "bolt", EXAMPLE, read, "the hole for a bolt, by standard", shape="round", sizes="{bolt}"
)
