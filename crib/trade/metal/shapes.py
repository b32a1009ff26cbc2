"""The outlines a punch can have, and their perimeters, areas and diagonals."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, pi, sqrt
from typing import Literal

from crib.errors import BadValue, UnknownName
from crib.trade.common.guards import require_positive
from crib.trade.common.verdicts import exceeds, falls_short

Shape = Literal["round", "square", "rectangle", "hexagon", "obround"]

SHAPES: tuple[Shape, ...] = ("round", "square", "rectangle", "hexagon", "obround")
_CORNERED = ("square", "rectangle")
_ONE_SIZE = ("round", "square", "hexagon")


@dataclass(frozen=True, slots=True)
class Outline:
    """An outline cut in one hit.

    ``width_mm`` is the diameter, the side, the short side, the size across flats or the slot width;
    ``length_mm`` equals it for round, square and hexagon, and is the long side or the overall slot
    length otherwise. ``corner_mm`` is the radius of the corners of a square or rectangle.
    """

    shape: Shape
    width_mm: float
    length_mm: float
    corner_mm: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what is not an outline."""
        if self.shape not in SHAPES:
            message = f"unknown shape {self.shape!r}; known: {', '.join(SHAPES)}"
            raise UnknownName(message)
        require_positive(width_mm=self.width_mm, length_mm=self.length_mm)
        self._require_fitting_length()
        if self.corner_mm:
            self._require_fitting_corner()

    def _require_fitting_length(self) -> None:
        if falls_short(self.length_mm, self.width_mm):
            message = f"length_mm={self.length_mm:g} must be >= width_mm={self.width_mm:g}"
            raise BadValue(message, way_out="give the shorter size as the width")
        if self.shape in _ONE_SIZE and exceeds(self.length_mm, self.width_mm):
            message = (
                f"length_mm={self.length_mm:g} must equal width_mm={self.width_mm:g} "
                f"for a {self.shape}"
            )
            raise BadValue(message, way_out="a longer one is a rectangle or an obround")

    def _require_fitting_corner(self) -> None:
        if self.shape not in _CORNERED:
            message = f"corner_mm={self.corner_mm:g} is for a square or rectangle only"
            raise BadValue(message)
        most_mm = self.width_mm / 2
        if falls_short(self.corner_mm, 0.0) or exceeds(self.corner_mm, most_mm):
            message = f"corner_mm={self.corner_mm:g} must be 0 to {most_mm:g}, half the width"
            raise BadValue(message, way_out="an opening with half round ends is a slot")


def perimeter_mm(outline: Outline) -> float:
    """The length of the cut all round an outline.

    Source: plane geometry; obround 2(L - W) + pi W and hexagon 3.464 A as in public shop charts;
    each rounded corner takes (2 - pi/2) R off.

    Args:
        outline: The outline that is cut [mm].

    Returns:
        The perimeter [mm].

    Example:
        >>> round(perimeter_mm(Outline("obround", 20.0, 50.0)), 2)
        122.83
    """
    width, length = outline.width_mm, outline.length_mm
    if outline.shape == "round":
        return pi * width
    if outline.shape == "hexagon":
        return 2 * sqrt(3) * width
    if outline.shape == "obround":
        return 2 * (length - width) + pi * width
    return 2 * (width + length) - (8 - 2 * pi) * outline.corner_mm


def area_mm2(outline: Outline) -> float:
    """The area inside an outline, which is the area of the punch's point.

    Source: plane geometry.

    Args:
        outline: The outline that is cut [mm].

    Returns:
        The area [mm²].

    Example:
        >>> area_mm2(Outline("rectangle", 10.0, 15.0))
        150.0
    """
    width, length = outline.width_mm, outline.length_mm
    if outline.shape == "round":
        return pi * width**2 / 4
    if outline.shape == "hexagon":
        return sqrt(3) / 2 * width**2
    if outline.shape == "obround":
        return (length - width) * width + pi * width**2 / 4
    return width * length - (4 - pi) * outline.corner_mm**2


def diagonal_mm(outline: Outline) -> float:
    """The greatest size across an outline: what must go through a nut or into a body.

    Source: plane geometry; square 1.414 S, hexagon 1.155 A, obround L as in public shop charts.

    Args:
        outline: The outline that is cut [mm].

    Returns:
        The greatest size across [mm].

    Example:
        >>> round(diagonal_mm(Outline("square", 10.0, 10.0)), 2)
        14.14
    """
    if outline.shape == "hexagon":
        return 2 / sqrt(3) * outline.width_mm
    if outline.shape in ("square", "rectangle"):
        off_mm = 2 * outline.corner_mm
        return hypot(outline.width_mm - off_mm, outline.length_mm - off_mm) + off_mm
    return outline.length_mm


def narrowest_mm(outline: Outline) -> float:
    """The least size across an outline: what the thin-punch rule looks at.

    Source: common practice (for shaped holes the narrowest width stands for the diameter).

    Args:
        outline: The outline that is cut [mm].

    Returns:
        The least size across [mm].

    Example:
        >>> narrowest_mm(Outline("obround", 20.0, 50.0))
        20.0
    """
    return outline.width_mm


def grown(outline: Outline, by_mm: float) -> Outline:
    """The same shape with every dimension larger: the die for a punch and a total clearance.

    Rounded corners keep their centres, so that the gap is the same all round.

    Source: common practice (clearance belongs on every dimension: die = (W + c) x (L + c)).

    Args:
        outline: The outline to start from [mm].
        by_mm: What is added to both dimensions; negative makes it smaller [mm].

    Returns:
        The grown outline [mm].

    Raises:
        BadValue: When nothing would be left of it.

    Example:
        >>> grown(Outline("obround", 20.0, 50.0), 0.5)
        Outline(shape='obround', width_mm=20.5, length_mm=50.5, corner_mm=0.0)
    """
    width_mm, length_mm = outline.width_mm + by_mm, outline.length_mm + by_mm
    corner_mm = max(outline.corner_mm + by_mm / 2, 0.0) if outline.corner_mm else 0.0
    return Outline(outline.shape, width_mm, length_mm, corner_mm)
