"""Parts as a drawing has them, for the checks of their openings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from crib.desk.parts.opening_checks import PartPlan
from crib.files.drawings.parts import Contour, ContourPoint, Part, PartFeature

PLATE = [(0.0, 0.0), (300.0, 0.0), (300.0, 100.0), (0.0, 100.0), (0.0, 0.0)]


def hole(x: float, y: float, size: float = 22.0, **changes: Any) -> PartFeature:
    """A hole in the web, with other sizes where they are given."""
    shape = {"feature": "hole", "shape": "round", "long_mm": None, "thickness_mm": 12.0}
    return PartFeature(**{**shape, "size_mm": size, "face": "v", "x_mm": x, "y_mm": y} | changes)


def plate(*features: PartFeature, points: Sequence[tuple[float, float]] = PLATE) -> Part:
    """A plate with that outline."""
    outline = Contour("outer", "v", tuple(ContourPoint(*point) for point in points))
    return part("B", features, (outline,))


def part(
    profile: str, features: Sequence[PartFeature], contours: tuple[Contour, ...] = (), **sizes: Any
) -> Part:
    """A part of 300 by 100 mm in 12 mm, with other sizes where they are given."""
    usual: dict[str, Any] = {
        "length_mm": 300.0,
        "height_mm": 100.0,
        "flange_width_mm": 0.0,
        "flange_thickness_mm": 0.0,
        "web_thickness_mm": 12.0,
        "radius_mm": 0.0,
    }
    return Part(
        mark="P-1",
        quantity=1,
        profile=profile,
        profile_text="",
        material="S275",
        features=tuple(features),
        contours=contours,
        text_lines=(),
        **usual | sizes,
    )


def square_of_holes(across: int) -> PartPlan:
    """A square plate with so many holes along each side, 40 mm apart."""
    side_mm = across * 40.0 + 20.0
    every = [hole(30.0 + 40 * x, 30.0 + 40 * y) for x in range(across) for y in range(across)]
    outline = [(0.0, 0.0), (side_mm, 0.0), (side_mm, side_mm), (0.0, side_mm), (0.0, 0.0)]
    return PartPlan(plate(*every, points=outline))
