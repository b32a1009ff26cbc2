"""The sections a shear cuts: what each is called by, what governs it, and its area."""

from __future__ import annotations

from dataclasses import dataclass

from crib.features.common.bar_phrase import size_or_gauge
from crib.trade.common.verdicts import exceeds
from crib.trade.metal import sections
from crib.units import System

WORK = {
    "flat": "flat_shear",
    "plate": "plate_shear",
    "angle": "angle_shear",
    "round": "bar_shear",
    "square": "bar_shear",
    "tube": "tube_shear",
    "channel": "channel_shear",
}
"""The station work of each section; a blade or set is made for the section's own word."""

BARS = ("round", "square")
RAKED = ("flat", "plate")
"""Sections whose blades stand at an angle to each other, so that they never cut all at once."""

_JSON_NAMES = {
    "flat": ("width_mm",),
    "plate": ("width_mm",),
    "angle": ("long_leg_mm", "short_leg_mm"),
    "round": ("diameter_mm",),
    "square": ("side_mm",),
    "tube": ("long_side_mm", "short_side_mm"),
    "channel": ("depth_mm", "flange_mm"),
}


@dataclass(frozen=True, slots=True)
class Section:
    """What is cut across: its word, its outside sizes (the governing one first), its thickness.

    ``tube`` is square, rectangle or round, for a tube only. A channel's flange may be thicker than
    its web.
    """

    word: str
    sizes_mm: tuple[float, ...]
    thickness_mm: float
    flange_thickness_mm: float | None = None
    tube: str = ""
    gauge: int | None = None

    @property
    def size_mm(self) -> float:
        """The size that an envelope is read at: width, long leg, diameter, depth."""
        return self.sizes_mm[0]

    @property
    def governing_mm(self) -> float:
        """The thickness that an envelope is read at; of a bar its whole size."""
        return max(self.thickness_mm, self.flange_thickness_mm or 0.0)

    @property
    def operation(self) -> str:
        """The words that its envelopes are kept under."""
        return f"cut {self.word}"

    @property
    def unequal(self) -> bool:
        """Whether its two outside sizes differ."""
        return len(self.sizes_mm) > 1 and exceeds(self.sizes_mm[0], self.sizes_mm[1])

    @property
    def area_mm2(self) -> float:
        """The area of a square cut."""
        sizes, thickness_mm = self.sizes_mm, self.thickness_mm
        match self.word:
            case "angle":
                return sections.angle_area_mm2(sizes[0], sizes[1], thickness_mm)
            case "round":
                return sections.round_bar_area_mm2(sizes[0])
            case "square":
                return sections.square_bar_area_mm2(sizes[0])
            case "channel":
                flange_mm = self.flange_thickness_mm or thickness_mm
                return sections.channel_area_mm2(sizes[0], sizes[1], thickness_mm, flange_mm)
            case "tube" if self.tube == "round":
                return sections.round_tube_area_mm2(sizes[0], thickness_mm)
            case "tube":
                return sections.rectangular_tube_area_mm2(sizes[0], sizes[-1], thickness_mm)
            case _:
                return sections.flat_area_mm2(sizes[0], thickness_mm)

    def phrase(self, system: System) -> str:
        """The section as a phrase has it."""
        sizes_mm = self.sizes_mm[:1] if self.tube in ("square", "round") else self.sizes_mm
        sizes = [size_or_gauge(size_mm, system) for size_mm in sizes_mm]
        if self.word not in BARS:
            sizes.append(size_or_gauge(self.thickness_mm, system, self.gauge))
        if self.flange_thickness_mm is not None:
            sizes.append(size_or_gauge(self.flange_thickness_mm, system))
        name = "tube round" if self.tube == "round" else self.word
        return f"{name} {' x '.join(sizes)}"

    def as_json(self) -> dict[str, str | float]:
        """The section for programs."""
        made: dict[str, str | float] = {"shape": self.word}
        if self.tube:
            made["tube"] = self.tube
        names = ("outside_mm",) if self.tube == "round" else _JSON_NAMES[self.word]
        made |= dict(zip(names, self.sizes_mm, strict=False))
        if self.flange_thickness_mm is not None:
            made["flange_thickness_mm"] = self.flange_thickness_mm
        return made | {"size_mm": self.size_mm, "thickness_mm": self.thickness_mm}
