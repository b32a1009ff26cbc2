"""A saddle to be cut: what every rule looks at, worked out once, and how figures are written."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from crib.features.common.case import Case, Plate
from crib.features.common.sizes import decimal_text
from crib.features.common.tool_match import NEST_RULE
from crib.features.saddles.tubular import Tubular
from crib.trade.metal import saddles

STROKES = 2
"""Strokes of the set for one saddle, the work turned by half a turn between them."""


@dataclass(frozen=True)
class SaddleJoint:
    """How a branch sits on its header; ``plate`` is the branch's wall and material.

    ``schedule`` is empty for a wall that was given by its thickness.
    """

    branch: Tubular
    header: Tubular
    plate: Plate
    schedule: str = ""
    wall_named: bool = True
    angle_deg: float = 90.0
    offset_mm: float = 0.0
    centres_mm: float | None = None

    @property
    def square(self) -> bool:
        """Whether both axes meet at a right angle."""
        return self.angle_deg == 90.0 and not self.offset_mm

    @property
    def branch_radius_mm(self) -> float:
        """The branch's outside radius."""
        return self.branch.outside_mm / 2

    @property
    def header_radius_mm(self) -> float:
        """The header's outside radius; for size on size a measured branch may be a hair larger."""
        return max(self.header.outside_mm, self.branch.outside_mm) / 2


@dataclass(frozen=True)
class SaddleCase(Case):
    """A saddle with the shop's rules and the circumstances."""

    saddle: SaddleJoint

    def size(self, length_mm: float) -> str:
        """An outside, a nest or a cut length."""
        return decimal_text(length_mm, self.say.system)

    def wall(self, wall_mm: float) -> str:
        """A wall."""
        return decimal_text(wall_mm, self.say.system, fine=True)

    @cached_property
    def tolerance_mm(self) -> float:
        """How far nest and header may be from the outsides."""
        return self.rules.number(NEST_RULE)

    @cached_property
    def force_n(self) -> float:
        """The force of one of the two strokes."""
        return saddles.saddle_force_n(
            self.saddle.branch.outside_mm, self.saddle.plate.thickness_mm, self.strength.shear_mpa
        )

    @property
    def is_plate(self) -> bool:
        """A pipe or tube."""
        return False

    @cached_property
    def adverse_force_n(self) -> float | None:
        """The force of one of the two strokes in as strong a pipe as may come."""
        if self.adverse is None:
            return None
        return self.force_n * self.adverse.shear_mpa / self.strength.shear_mpa

    @cached_property
    def depth_mm(self) -> float:
        """How deep the branch is cut at its crown, met square."""
        return saddles.saddle_depth_mm(self.saddle.header_radius_mm, self.saddle.branch_radius_mm)

    @cached_property
    def tip_to_tip_mm(self) -> float | None:
        """The length of the square-cut blank between two headers; None without their centres."""
        centres_mm = self.saddle.centres_mm
        if centres_mm is None or not self.saddle.square:
            return None
        return saddles.tip_to_tip_mm(
            centres_mm, self.saddle.header_radius_mm, self.saddle.branch_radius_mm
        )

    @cached_property
    def throat_mm(self) -> float | None:
        """The length between the bottoms of the two saddles; None without the headers' centres."""
        centres_mm = self.saddle.centres_mm
        if centres_mm is None or not self.saddle.square:
            return None
        return saddles.throat_length_mm(centres_mm, self.saddle.header_radius_mm)
