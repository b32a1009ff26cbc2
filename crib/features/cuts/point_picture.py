"""A picket's pointed end as a drawing: from the side, and from its end with the turn."""

from __future__ import annotations

from crib.features.common.picture import Circle, Dimension, Label, Line, Picture, Shape
from crib.features.common.speech import Speech


def point_picture(bar: str, size_mm: float, station: str, say: Speech) -> Picture:
    """The bar with its point to the right, its section further right."""
    half_mm, stub_mm, tip_mm = size_mm / 2, 3 * size_mm, 4.5 * size_mm
    upper = ((0.0, half_mm), (stub_mm, half_mm), (tip_mm, 0.0))
    lower = ((stub_mm, -half_mm), (0.0, -half_mm))
    middle_mm = 6.5 * size_mm
    corners = ((-half_mm, -half_mm), (half_mm, -half_mm), (half_mm, half_mm), (-half_mm, half_mm))
    section: Shape = Circle(middle_mm, 0.0, half_mm, "hatch")
    if bar == "square":
        box = tuple((middle_mm + x_mm, y_mm) for x_mm, y_mm in corners)
        section = Line(box, "hatch", closed=True)
    shapes = (
        Line((*upper, *lower), "outline", closed=True),
        Line(((-half_mm, 0.0), (tip_mm + half_mm, 0.0)), "centre"),
        section,
        Dimension(0.0, -half_mm, 0.0, half_mm, half_mm, say.length(size_mm)),
        Label(middle_mm, -size_mm, "turn by 90° between hits"),
    )
    notes = ("the form of the end is the set's own",)
    return Picture(f"{station}, {bar} bar {say.length(size_mm)}", shapes, notes)
