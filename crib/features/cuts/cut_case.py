"""A cut to be made: what every rule looks at, worked out once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from crib.features.common.case import Case
from crib.features.common.chain_checks import envelope_points
from crib.features.common.tooling import EnvelopeRow
from crib.features.cuts.cut_sections import BARS, RAKED, Section
from crib.trade.metal import shears
from crib.trade.metal.envelopes import EnvelopePoint

CP = "common practice, no source"
STRAIGHT_BELOW_DEG = 0.5
"""An angle below this is a straight cut, as the envelopes have it."""

Points = dict[str, list[EnvelopePoint]]


@dataclass(frozen=True)
class CutCase(Case):
    """A section, its material and the angle of the cut from square."""

    section: Section
    angle_deg: float

    @property
    def mitred(self) -> bool:
        """Whether the cut is not square."""
        return self.angle_deg >= STRAIGHT_BELOW_DEG

    @cached_property
    def along_mm(self) -> float:
        """The governing size along the cut, longer on a mitre."""
        return shears.mitre_width_mm(self.section.size_mm, self.angle_deg)

    @cached_property
    def area_mm2(self) -> float:
        """The area of the cut, larger on a mitre."""
        return self.section.area_mm2 * self.along_mm / self.section.size_mm

    @cached_property
    def force_n(self) -> float:
        """The force to cut the whole area at once."""
        return shears.shear_force_n(self.area_mm2, self.strength.shear_mpa)

    @property
    def is_plate(self) -> bool:
        """A flat or a plate, not a section, bar or tube."""
        return self.section.word in ("flat", "plate")

    @cached_property
    def adverse_force_n(self) -> float | None:
        """The force on the whole area in the adverse plate; None without one."""
        plate = self.adverse
        if plate is None:
            return None
        thicker = plate.thickness_mm / self.plate.thickness_mm
        return shears.shear_force_n(self.area_mm2 * thicker, plate.shear_mpa)

    @property
    def raked(self) -> bool:
        """Whether the blades part it bit by bit, with less than that force."""
        return self.section.word in RAKED

    @cached_property
    def gap_mm(self) -> tuple[float, float] | None:
        """The gap between the blades from low to high; None where only the manual says."""
        if self.section.word in (*BARS, "tube"):
            return None
        return shears.blade_gap_mm(self.plate.thickness_mm)

    @property
    def what(self) -> str:
        """The operation in words, with its angle."""
        straight = self.section.operation
        return f"{straight} at {self.angle_deg:g}°" if self.mitred else straight

    def points(self, rows: tuple[EnvelopeRow, ...]) -> Points:
        """The proven points for this cut.

        A straight cut goes by the straight list only. A mitre goes by the lists for its own angle
        and steeper ones, where the cut is longer; never by the straight list.
        """
        operation = self.section.operation
        if not self.mitred:
            return envelope_points(rows, operation, 0.0)
        angles = {row.cut_angle_deg for row in rows if row.operation == operation}
        proven: Points = {}
        for angle in sorted(angles):
            if angle >= max(self.angle_deg - STRAIGHT_BELOW_DEG, STRAIGHT_BELOW_DEG):
                for name, listed in envelope_points(rows, operation, angle).items():
                    proven.setdefault(name, []).extend(listed)
        return proven

    def straight(self) -> CutCase:
        """The same cut made square."""
        return replace(self, angle_deg=0.0)
