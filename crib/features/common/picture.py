"""A picture as plain shapes in mm: what a door turns into SVG or PDF. Pure.

x runs to the right and y up. A picture must be readable in grey: line styles and hatching carry
the meaning, never colour alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Style = Literal["outline", "hidden", "thin", "centre", "cut", "tool", "fill", "hatch"]
"""outline: the part; tool: a tool's edge; cut: what is removed; hidden: dashed; centre: dash-dot;
thin: dimension lines; fill: light grey area; hatch: hatched area."""

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points, closed or not."""

    points: tuple[tuple[float, float], ...]
    style: Style = "outline"
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle."""

    x_mm: float
    y_mm: float
    radius_mm: float
    style: Style = "outline"


@dataclass(frozen=True, slots=True)
class Label:
    """A text at a place; ``size_mm`` is its height in the picture's own scale, 0 for the usual."""

    x_mm: float
    y_mm: float
    text: str
    anchor: Anchor = "middle"
    size_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension between two points, drawn ``off_mm`` to the left of the way between them."""

    x1_mm: float
    y1_mm: float
    x2_mm: float
    y2_mm: float
    off_mm: float
    text: str


Shape = Line | Circle | Label | Dimension


@dataclass(frozen=True, slots=True)
class Picture:
    """A titled drawing with notes under it; ``to_scale`` unless its sizes are only for show."""

    title: str
    shapes: tuple[Shape, ...]
    notes: tuple[str, ...] = field(default=())
    to_scale: bool = True
